"""Labels of numbers about several answers of a person."""

NUMBERS = {
    "decides": "What decides, as declared",
    "mean_p": "Mean of people like these above guessing, p (model)",
    "pattern_p": "Anybody above guessing, by how right answers fall on people, p (drawn)",
    "mean_share": "Mean share noticed among people like these (beta-binomial)",
    "gamma": "How much people differ (gamma, 0 to 1)",
    "differ_p": "People differ, p",
}
DECIDES = {"pooled": "all answers together, exact", "people": "the mean of people, a model"}
LIMITS = "{value} (two-sided {level} limits {low} to {high})"
NOTHING = "not estimable: one person, or one answer each"
