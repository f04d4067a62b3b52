"""Values that hold by definition, and the temperature at which cold litres are counted."""

ZERO_C_K = 273.15
"""0 C on the absolute scale (BIPM, 2019, The International System of Units, 9th ed.) [K]."""
GRAVITY_M_S2 = 9.80665
"""Standard acceleration of free fall (3rd CGPM, 1901) [m/s2]."""
COLD_C = 20.0
"""Cold volumes of water and wort are those at this temperature, a choice of this project [C]."""
