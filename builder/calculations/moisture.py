"""Water in wood: how moist it comes to be in the air of a room, and which room a meter reading belongs to.

The figures are those of the Wood Handbook (Forest Products Laboratory, FPL-GTR-282, chapter 4). Moisture is counted
in per cent of the oven-dry mass.
"""

from __future__ import annotations

from builder.calculations.answers import Outside

#: Temperatures the sum is trusted for: 30 to 110 °F, the part of the printed table (30 to 270 °F) that people live in.
LEAST_CELSIUS, MOST_CELSIUS = (30 - 32) / 1.8, (110 - 32) / 1.8
#: Relative humidities the printed table covers.
LEAST_HUMIDITY, MOST_HUMIDITY = 5.0, 95.0

#: The density of the cell wall itself, over that of water (Eq. 4-3).
_CELL_WALL = 1.54
#: Halvings of an interval of 90 % humidity: it then is narrower than any instrument could show.
_HALVINGS = 50


def equilibrium_moisture_percent(temperature_c: float, humidity_percent: float) -> float | Outside:
    """How moist wood comes to be when it stands in this air for days or weeks, in per cent of its dry mass.

    Air in °C and per cent relative humidity. Wood Handbook Eq. 4-5 with the constants for °C, from which its Table
    4-2 was reckoned; printed there from 30 to 270 °F and 5 to 95 %, taken here from 30 to 110 °F. Species differ by
    about half a per cent of moisture, and wood that dries stays a little moister than wood that gains water.
    """
    if not LEAST_CELSIUS <= temperature_c <= MOST_CELSIUS:
        return Outside("the table of moisture in wood is used between 30 and 110 °F (−1 and 43 °C)")
    if not LEAST_HUMIDITY <= humidity_percent <= MOST_HUMIDITY:
        return Outside("the table of moisture in wood is printed between 5 and 95 % humidity")
    return _equation(temperature_c, humidity_percent)


def _equation(celsius: float, humidity_percent: float) -> float:
    """Eq. 4-5: two kinds of bound water and one of dissolved water, the constants fitted for °C."""
    molar = 349 + 1.29 * celsius + 0.0135 * celsius**2
    k = 0.805 + 0.000736 * celsius - 0.00000273 * celsius**2
    k1 = 6.27 - 0.00938 * celsius - 0.000303 * celsius**2
    k2 = 1.91 + 0.0407 * celsius - 0.000293 * celsius**2
    kh = k * humidity_percent / 100
    bound = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    return 1800 / molar * (kh / (1 - kh) + bound)


def humidity_of_rest_percent(temperature_c: float, moisture_percent: float) -> float | Outside:
    """The humidity in which wood of this moisture neither takes up water nor gives it away.

    The other way round of `equilibrium_moisture_percent`, found by halving; same units, same range.
    """
    if not LEAST_CELSIUS <= temperature_c <= MOST_CELSIUS:
        return Outside("the table of moisture in wood is used between 30 and 110 °F (−1 and 43 °C)")
    low, high = LEAST_HUMIDITY, MOST_HUMIDITY
    if not _equation(temperature_c, low) <= moisture_percent <= _equation(temperature_c, high):
        return Outside("wood is not this moist in air between 5 and 95 % humidity")
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if _equation(temperature_c, middle) < moisture_percent:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def moisture_by_weighing_percent(as_found_kg: float, oven_dry_kg: float) -> float | Outside:
    """Moisture of a scrap weighed as it was found, then dried in an oven and weighed again.

    Wood Handbook Eq. 4-2: the water, in per cent of the dry wood. Both masses in one unit, whichever.
    """
    if oven_dry_kg <= 0 or as_found_kg < oven_dry_kg:
        return Outside("a scrap cannot weigh less before the oven than after it")
    return 100 * (as_found_kg - oven_dry_kg) / oven_dry_kg


def most_moisture_percent(basic_gravity: float) -> float:
    """The most water a wood can hold, every cavity full: the denser the wood, the less of it.

    Wood Handbook Eq. 4-3, for a basic specific gravity (dry mass over green volume) above 0 and below 1.54.
    """
    return 100 * (_CELL_WALL - basic_gravity) / (_CELL_WALL * basic_gravity)
