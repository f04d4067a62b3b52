"""One function for each thing a user does, shared by all faces."""
