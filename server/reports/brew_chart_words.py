"""What is said on and under the chart of brews."""

from server.brewing.extraction import Brewer

EXTRACTION_AXIS = "Extraction, % of the dose"
STRENGTH_AXIS = "Strength, %TDS"
SAMPLE = "With limits: {sample}"
LINES = {
    Brewer.PERCOLATION: "coffee to water in, percolation (2 g kept a gram)",
    Brewer.IMMERSION: "coffee to water in, immersion",
    Brewer.ESPRESSO: "coffee to beverage out, espresso",
}
POINT = "{name} at {strength:.2f} %TDS and {extraction:.1f} %"
ALT = "Strength against extraction. {brews}."
REGION = "{name}: {strength} %TDS and {extraction} % extraction ({source})"
REGION_ALT = " Drawn over it, {region}."
LEFT_OUT = "Without a place on the chart: {brews}. {why}"
ESTIMATED = "Estimated, because the beverage was not weighed: {brews}."
PLACED = "{placed} of {brews} on the chart."
NO_GRADE = (
    "The region is what somebody recommends, not a grade: what people like spreads far beyond it, "
    "and it says nothing of whether two samples can be told apart."
)
NOTHING = (
    "Nothing can be drawn yet: a place needs a strength, a dose, and the beverage or the water "
    "that the brewer’s yield counts."
)
NO_RECIPE = (
    "No recipe says how water leaves the coffee in sample {samples}: choose it below, so that "
    "yields can be worked out."
)
MINE = "My own region"
MINE_SOURCE = "typed here"
UPSIDE_DOWN = "Each low end lies below its high end, in strength and in extraction."
