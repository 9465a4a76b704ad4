"""The computation over a project, and the study that keeps it current."""
