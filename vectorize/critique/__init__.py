"""A study to findings: one small module a check."""
