"""What the invented job sheets of several rooms have in common."""

ROD_AND_TEE = """\
[[filler]]
id = "rod"
classification = "ER70S-2"
hydrogen = "H5"

[[joint]]
id = "J1"
type = "T fillet"
process = "141"
filler = "rod"
arc_energy = "1.0 kJ/mm"
"""
"""A rod for TIG and the head of the joint that it welds; restraint and members follow in the sheet."""
