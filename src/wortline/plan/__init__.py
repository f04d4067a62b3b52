"""A plan is a pure function of documents: ledger backwards, timeline and bitter line forwards."""
