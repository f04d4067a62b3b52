# dev.py does the work; this only forwards.
PYTHON ?= python3

.PHONY: demo test lint doubt docs bench lock setup
demo test lint doubt docs bench lock setup:
	$(PYTHON) dev.py $@
