"""A class: lab cards, each group's numbers, the key, blank sheets, batch on one machine or many."""
