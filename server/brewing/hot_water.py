"""How much hot water weighs: millilitres at brewing heat are not grams."""


def find_density(celsius: float) -> float:
    """Return the density of water at normal pressure, in g/mL.

    Parameters
    ----------
    celsius : float
        From 0 to 100 °C.

    Returns
    -------
    float

    Raises
    ------
    ValueError
        The temperature lies outside.

    References
    ----------
    G. S. Kell, Density, thermal expansivity, and compressibility of liquid water from 0 to
    150 °C, J. Chem. Eng. Data 20 (1975) 97-105, eq. 16 (coefficients from memory; the tests
    hold them against printed densities).

    Examples
    --------
    >>> round(find_density(93), 3)
    0.963
    """
    if not 0 <= celsius <= 100:
        raise ValueError(f"celsius must lie from 0 to 100, got {celsius}")
    over = 999.83952 + celsius * (
        16.945176
        + celsius
        * (
            -7.9870401e-3
            + celsius * (-46.170461e-6 + celsius * (105.56302e-9 - celsius * 280.54253e-12))
        )
    )
    return over / (1 + 16.879850e-3 * celsius) / 1000


def weigh_hot_water(millilitres: float, celsius: float) -> float:
    """Return the mass of so many millilitres of water measured at a temperature, in grams.

    Examples
    --------
    >>> round(weigh_hot_water(150, 93), 1)
    144.5
    """
    if not 0 <= millilitres < float("inf"):
        raise ValueError(f"millilitres must be a number from 0, got {millilitres}")
    return millilitres * find_density(celsius)
