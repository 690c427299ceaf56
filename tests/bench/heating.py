"""How far the sums of heating are from the properties of water: the constant, energies, mixtures.

    python -m tests.bench.heating

The properties are IAPWS-95 at 101.325 kPa. Litres are measured at the colder
temperature. Percentages and kelvin; nothing here is a test.
"""

import random
import sys

from iapws import IAPWS95
from scipy.optimize import brentq

from roomtasks.room.heat import WH_PER_LITRE_KELVIN, heat_energy, mix_temp
from roomtasks.room.problem import Problem

KELVIN = 273.15
ATMOSPHERE = 0.101325  # MPa
KJ_PER_WH = 3.6


def _water(celsius: float) -> IAPWS95:
    return IAPWS95(T=celsius + KELVIN, P=ATMOSPHERE)


def volume_heat(celsius: float) -> float:
    """Wh that warm a litre by a kelvin: density by heat capacity."""
    water = _water(celsius)
    return float(water.rho * water.cp / 1000 / KJ_PER_WH)


def energy_by_properties(litres: float, low: float, high: float) -> float:
    """kWh that warm so many litres, measured cold: mass by the rise in enthalpy."""
    cold, hot = _water(low), _water(high)
    return float(litres / 1000 * cold.rho * (hot.h - cold.h) / KJ_PER_WH / 1000)


def mixed_by_properties(one: float, at_one: float, two: float, at_two: float) -> float:
    """The temperature at which the mixture has the enthalpy of both, in C."""
    first, second = _water(at_one), _water(at_two)
    mass_one, mass_two = one * first.rho, two * second.rho
    wanted = (mass_one * first.h + mass_two * second.h) / (mass_one + mass_two)
    low, high = sorted((at_one, at_two))
    return float(brentq(lambda at: _water(at).h - wanted, low - 0.5, high + 0.5, xtol=1e-6))


def main() -> None:
    """Print the table and the worst of random cases."""
    out = sys.stdout.write
    out("  C   Wh/(L K)  the constant is off by\n")
    for at in range(0, 45, 5):
        by = volume_heat(max(at, 0.1))
        out(f"{at:3}   {by:.4f}    {100 * (WH_PER_LITRE_KELVIN / by - 1):+.2f} %\n")
    chance = random.Random(1)
    energies, mixtures = [], []
    for _ in range(200):
        low = chance.uniform(5, 20)
        high = low + chance.uniform(1, 10)
        worked = heat_energy(500, low, high)
        mixed = mix_temp(560, low, 140, high)
        if isinstance(worked, Problem) or isinstance(mixed, Problem):
            raise TypeError("water of a fish room")
        energies.append(worked / energy_by_properties(500, low, high) - 1)
        mixtures.append(mixed - mixed_by_properties(560, low, 140, high))
    least, most = 100 * min(energies), 100 * max(energies)
    out(f"energy, 5 to 30 C, 200 cases: {least:+.2f} to {most:+.2f} %\n")
    out(f"mixtures: {min(mixtures):+.4f} to {max(mixtures):+.4f} K\n")


if __name__ == "__main__":
    main()
