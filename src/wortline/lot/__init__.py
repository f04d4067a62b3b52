"""A lot: what happened on the day as entries, what follows from them, and how to mend a miss."""
