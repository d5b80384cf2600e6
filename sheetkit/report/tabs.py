"""The result sheets in the order of their tabs: key, the name each takes where that is free, and what is read there."""

from collections.abc import Mapping

_TABS = (
    ("summary", "Summary", "can it be made, what to do next, what is wrong; panels, cautions, what was assumed"),
    ("cut_plan", "Cut plan", "pass by pass: where the dial must stand, what should come off"),
    ("stock_use", "Stock use", "what each board becomes; what to buy if short"),
    ("dial_settings", "Dial settings", "what the readings taught, and what to dial"),
    ("thickness_check", "Thickness check", "each slice against its tolerance; how steady the saw runs"),
    ("lay_up", "Lay-up", "which slice in which layer, which way round; how thick the panel will be"),
    ("glue_up", "Glue-up", "in how many goes to glue, glue and clamps, the glue's water, when to machine, movement"),
    ("pieces", "Pieces", "handles, boards and bowls: angles, stripes, blanks from a panel, rings and walls"),
    ("pictures", "Pictures", "the panels and pieces drawn from the lay-up as it stands"),
    ("cost", "Cost", "what panels and pieces cost in wood, glue, blade and work; time, calendar, waste, price"),
    ("problems", "Problems", "what could not be read or had to be guessed, with a link to each cell"),
)

TITLES: Mapping[str, str] = {key: title for key, title, _ in _TABS}
PURPOSES: Mapping[str, str] = {key: purpose for key, _, purpose in _TABS}
