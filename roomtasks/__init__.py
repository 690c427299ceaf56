"""What is due in a fish room, in which order to walk it, and a record that is never lost."""

__version__ = "0.1.0"
