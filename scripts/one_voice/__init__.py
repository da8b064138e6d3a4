"""Whether all that is printed of one row tells one value for each quantity.

Every output of a row is rendered once and gathered by the names of its quantities: the JSON
payload, the CSV, the workbook, the page, the terminal and the paper, and before the row is poured
the plan, the key and the handout. Two values of one name must agree within the digits that are
printed, and a number that only one output has is asked for in the others.
"""
