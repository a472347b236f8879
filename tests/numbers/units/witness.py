"""A second witness for units of measure: the general library pint.

Reads one conversion a line from standard input, tab-separated:
    number  unit  expected  base unit
as the program computes it, and compares with pint to twelve digits.
Exit code 0: all agree; 1: some do not, or a unit is unknown here; 3: no pint.
"""

import sys

try:
    import pint
except ImportError:
    print("pint is not installed")
    sys.exit(3)

# The symbols of the program in the names of pint. `ft*lb` would be mass times
# length there, `mil` an angle: hence lbf and thou.
NAMES = {
    "N·m": "newton * meter",
    "lb-ft": "pound_force * foot",
    "lb-in": "pound_force * inch",
    "oz-in": "ounce_force * inch",
    "kgf·m": "kilogram_force * meter",
    "kgf·cm": "kilogram_force * centimeter",
    "daN·m": "decanewton * meter",
    "kN·m": "kilonewton * meter",
    "N·cm": "newton * centimeter",
    "N": "newton",
    "kN": "kilonewton",
    "lbf": "pound_force",
    "kip": "kip",
    "kgf": "kilogram_force",
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "µm": "micrometer",
    "in": "inch",
    "thou": "thou",
    "ft": "foot",
    "MPa": "megapascal",
    "GPa": "gigapascal",
    "psi": "pound_force / inch ** 2",
    "ksi": "kip / inch ** 2",
    "kgf/mm²": "kilogram_force / millimeter ** 2",
    "mm²": "millimeter ** 2",
    "cm²": "centimeter ** 2",
    "in²": "inch ** 2",
    "°": "degree",
    "turn": "turn",
    "K": "kelvin",
    "°F": "delta_degree_Fahrenheit",
    "%": "percent",
    "1": "dimensionless",
}


def main():
    sys.stdin.reconfigure(encoding="utf-8")
    sys.stdout.reconfigure(encoding="utf-8")
    registry = pint.UnitRegistry()
    count, wrong = 0, 0
    for line in sys.stdin:
        number, unit, expected, base = line.rstrip("\n").split("\t")
        count += 1
        if unit not in NAMES or base not in NAMES:
            print(f"{unit} or {base}: no name for it in this witness")
            wrong += 1
            continue
        found = registry.Quantity(float(number), NAMES[unit]).to(NAMES[base]).magnitude
        expected = float(expected)
        if abs(found - expected) > 1e-12 * max(abs(found), abs(expected)):
            print(f"{number} {unit}: {expected} {base} by the program, {found} by pint")
            wrong += 1
    print(f"{count} conversions, {wrong} wrong")
    sys.exit(1 if wrong or count == 0 else 0)


main()
