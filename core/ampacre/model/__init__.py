"""What a project is: its records, its tables, the edits that change them, and its network."""
