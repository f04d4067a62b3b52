"""The pages, one module each; `web/server.py` lists them."""
