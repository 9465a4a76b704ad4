"""The project file and the journal beside it."""
