"""A drawing or a record to bytes, and a folder whole or not at all."""
