"""Typical values with source and mark; read by `wortline.app` alone."""
