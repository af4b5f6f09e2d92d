"""A study and its findings to drawings in mm: one small module a sheet."""
