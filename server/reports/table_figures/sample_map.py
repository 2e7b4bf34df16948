"""Map of the samples by their scores: principal components, with ellipses of the panel's chance."""

from server.reports.display import show_count, show_share
from server.reports.table_figures import words
from server.reports.table_figures.maps import Map, Point, find_reason
from server.reports.table_figures.shown import Names
from server.stats.sample_map import SampleMap


def build_sample_map(found: SampleMap, names: Names | None = None) -> Map:
    """Build the map, or say why there is none.

    Examples
    --------
    >>> from server.stats.profiles import build_profile
    >>> from server.stats.ratings import build_ratings
    >>> from server.stats.sample_map import draw_map
    >>> sweet = build_ratings(["ann"] * 3, ["X", "Y", "Z"], [1, 2, 6])
    >>> build_sample_map(draw_map(build_profile({"sweet": sweet}), draws=2)).reason
    'No map: it takes 4 samples or more, not 3.'
    """
    called, components = names or Names(), found.components
    if components is None:
        return Map(reason=words.MAP_ASSESSORS.format(least=6, found=0))
    axes = len(components.eigenvalues)
    reason = find_reason(len(components.samples), len(found.assessors), axes, words.MAP_ASSESSORS)
    if reason:
        return Map(reason=reason)
    ellipses = found.ellipses or (None,) * len(components.samples)
    return Map(
        samples=tuple(
            Point(called.sample(name), place[0], place[1], ellipse)
            for name, place, ellipse in zip(
                components.samples, components.scores, ellipses, strict=True
            )
        ),
        others=tuple(
            Point(called.attribute(name), place[0], place[1])
            for name, place in zip(components.attributes, components.correlations, strict=True)
        ),
        title=words.MAP_TITLE,
        others_title=words.MAP_ARROWS,
        shares=components.shares[:2],
        key=words.ELLIPSE_KEY.format(level=show_share(found.level)) if found.ellipses else "",
        told=words.MAP_ALT.format(
            samples=show_count(len(components.samples), "sample"),
            attributes=show_count(len(components.attributes), "attribute"),
            share=show_share(sum(components.shares[:2])),
        ),
    )
