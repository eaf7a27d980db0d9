"""Quantities: values with units and ranges, as steps and notes print them and as a person measures them."""
