"""Shots as rows of a table: a catalog's written as CSV, and rows read back into its files."""
