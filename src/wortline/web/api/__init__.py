"""The JSON API, one module for each kind of thing."""
