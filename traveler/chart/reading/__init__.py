"""A logger's file, read: encoding, columns, cells, and what it leaves open."""
