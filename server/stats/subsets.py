"""Parts of a panel's ratings: results with and without an assessor."""

from typing import TYPE_CHECKING

from server.stats.ratings import Ratings, build_ratings

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


def keep_rows(ratings: Ratings, kept: "NDArray[np.intp] | NDArray[np.bool_]") -> Ratings:
    """Return some of the ratings, in the order of `kept`.

    Parameters
    ----------
    ratings : Ratings
    kept : ndarray of int or bool
        Places of the rows, or a mask of them.

    Returns
    -------
    Ratings
        Assessors, samples and bowls that none of the rows is of are gone.

    Raises
    ------
    ValueError
        If no row is kept.

    Examples
    --------
    >>> import numpy as np
    >>> ratings = build_ratings(["ann", "bo"], ["X", "Y"], [4, 6])
    >>> keep_rows(ratings, np.array([1])).samples
    ('Y',)
    """
    bowls = None
    if ratings.bowl is not None:
        bowls = [ratings.bowls[place] for place in ratings.bowl[kept]]
    return build_ratings(
        [ratings.assessors[place] for place in ratings.assessor[kept]],
        [ratings.samples[place] for place in ratings.sample[kept]],
        ratings.value[kept].tolist(),
        bowls,
    )


def leave_out(ratings: Ratings, assessor: str) -> Ratings:
    """Return the ratings of all others, to show a result with and without one assessor.

    Parameters
    ----------
    ratings : Ratings
    assessor : str
        Whose values to leave out.

    Returns
    -------
    Ratings

    Raises
    ------
    ValueError
        If there is no such assessor, or nobody else.

    Examples
    --------
    >>> ratings = build_ratings(["ann", "bo", "cy"], ["X", "X", "X"], [4, 6, 5])
    >>> leave_out(ratings, "bo").assessors
    ('ann', 'cy')
    """
    known = ratings.assessors
    if assessor not in known:
        raise ValueError(f"assessor must be one of {', '.join(known)}, not {assessor!r}")
    if len(known) == 1:
        raise ValueError(f"assessor must not be the only one, as {assessor!r} is")
    return keep_rows(ratings, ratings.assessor != known.index(assessor))
