"""Pure functions from published sources: numbers (float or ndarray) in, the same out."""
