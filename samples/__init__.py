"""Projects that a newcomer opens first."""
