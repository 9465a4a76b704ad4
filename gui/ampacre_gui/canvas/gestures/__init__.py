"""Gestures with the pointer: each an object that starts, follows, and finishes or is given up."""
