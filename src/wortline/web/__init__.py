"""The pages and the JSON API: thin; they ask `app` and show what it says."""
