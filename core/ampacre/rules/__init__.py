"""The rulebook: one file per topic; importing the package files every rule."""
