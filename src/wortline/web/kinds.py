"""Kinds of documents, in the words of the pages."""

from wortline.documents.kinds import DocumentKind

Kind = DocumentKind
KINDS: tuple[Kind, ...] = ("rig", "recipe", "day", "lineup")
PLURAL = {"rig": "Rigs", "recipe": "Recipes", "day": "Days", "lineup": "Line-ups"}
ONE = {"rig": "rig", "recipe": "recipe", "day": "day", "lineup": "line-up"}
