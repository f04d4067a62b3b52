"""The rig's plumbing as a graph of ports: line-ups, checks, change-over, clean marks."""
