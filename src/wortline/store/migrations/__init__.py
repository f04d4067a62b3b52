"""How a database comes from any version to the newest: `versions`, one file a step.

A file is called `v0001_what.py`; its number is its revision. Steps are never changed once released.
"""
