"""Picture to letters on their lines."""
