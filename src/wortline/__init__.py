"""Wortline: plan, run and judge a brewing day, following the wort along its line."""
