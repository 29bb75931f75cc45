"""What the design notebook holds: a campaign, its machines fitted, and what could be built."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from coldbench.compare.leaks import leak_of
from coldbench.design import compressor_fit, thermoelectric_fit
from coldbench.design.box import Excess, drawn_walls, excess_of, rim_of, usable_share
from coldbench.design.candidate import Candidates
from coldbench.design.compressor_unit import CompressorUnit
from coldbench.design.expected import Expected, expected
from coldbench.design.fitted import Fitted
from coldbench.design.load_film import load_film
from coldbench.design.machines import Option, options
from coldbench.design.moved import hours_to_cool, new_structure
from coldbench.design.moved_checks import goes_in
from coldbench.design.pareto import Front, front
from coldbench.design.planned import Planned, planned
from coldbench.design.proposals import proposals
from coldbench.design.pull_down_predicted import Contents
from coldbench.design.search import Curve, candidates, litres_curve, load_heat
from coldbench.design.steps import Present, Step, ranked, three, together
from coldbench.design.wishes import Wishes, wishes_of
from coldbench.report.book import Book, open_campaign

LEAST_LOAD = 1e-9  # its film is never nothing, or nothing would be divided by it [kg]


@dataclass(frozen=True)
class DesignBook:
    """A campaign with everything that is said of what to build next.

    Parameters
    ----------
    book : Book
        The campaign, analysed and compared.
    """

    book: Book

    @cached_property
    def wishes(self) -> Wishes:
        """What is wanted."""
        return wishes_of(self.book.campaign)

    @cached_property
    def improve(self) -> str:
        """Id of the cooler to improve: as asked, else what was built here, else any with power."""
        asked = self.book.campaign.sheet.design
        if asked is not None and asked.cooler:
            return asked.cooler
        coolers = self.book.campaign.coolers
        ranks = [(sheet.origin != "built", sheet.technology != "thermoelectric", one)
                 for one, sheet in coolers.items() if sheet.technology != "passive"]
        return min(ranks)[2] if ranks else next(iter(coolers))

    @cached_property
    def donor(self) -> str:
        """Id of the cooler whose unit may move: as asked, else the first that can be; or none."""
        asked = self.book.campaign.sheet.design
        if asked is not None and asked.donor:
            return asked.donor
        return next((one for one, fitted in self.fits.items()
                     if isinstance(fitted.unit, CompressorUnit)), "")

    @cached_property
    def fits(self) -> dict[str, Fitted]:
        """The machine of each cooler, fitted to its runs, or why it is not."""
        ways = {"compressor": compressor_fit.fit, "thermoelectric": thermoelectric_fit.fit}
        return {
            one: ways[sheet.technology](self.book.result, self.book.rows, one)
            for one, sheet in self.book.campaign.coolers.items() if sheet.technology in ways
        }

    @cached_property
    def excess(self) -> Excess:
        """What the present box leaks beyond its walls, to be carried forward."""
        return excess_of(self.book.campaign, self.book.rows, self.improve)

    @cached_property
    def present(self) -> Present | None:
        """The cooler to improve, where its machine and its walls are known."""
        fitted, leak = self.fits.get(self.improve), leak_of(self.book.rows, self.improve)
        if fitted is None or fitted.unit is None or leak is None or leak.draws is None:
            return None
        sheet = self.book.campaign.coolers[self.improve]
        return Present(self.improve, sheet, fitted.unit, leak, self.excess)

    @cached_property
    def steps(self) -> list[Step]:
        """Every step for the present cooler, the best for the money first."""
        if self.present is None:
            return []
        proposed = proposals(self.book.campaign, self.wishes, self.present)
        return ranked(proposed, self.wishes, self.present)

    @cached_property
    def first(self) -> list[Step]:
        """Three to begin with."""
        return three(self.steps)

    @cached_property
    def together(self) -> Step:
        """Those three at once."""
        return together(self.first, self.wishes, self.present)

    @cached_property
    def options(self) -> list[Option]:
        """Machines that a new box may be given."""
        return options(self.book.campaign, self.fits, self.improve, self.donor)

    @cached_property
    def candidates(self) -> Candidates | None:
        """All boxes with all machines; None without a machine, or without room and litres."""
        wanted = self.wishes.room is not None or self.wishes.usable
        if not self.options or not wanted:
            return None
        sheet = self.book.campaign.coolers[self.improve]
        return candidates(self.wishes, [one.machine for one in self.options], self.wishes.boards,
                          self.excess.middle(), usable_share(sheet)[0])

    @cached_property
    def front(self) -> Front | None:
        """Those that no other beats, and three picks."""
        return None if self.candidates is None else front(self.candidates, self.wishes, self._place)

    @property
    def _place(self) -> dict[str, np.ndarray]:
        """Candidates whose moved unit does not go in as it is."""
        c, wrong = self.candidates, np.zeros(len(self.candidates), bool)
        for n, option in enumerate(self.options):
            if option.machine.kind == "compressor":
                of = c.machine == n
                donor = self.book.campaign.coolers[option.cooler]
                inside = [side[of] for side in (c.width, c.depth, c.height)]
                wrong[of] = ~goes_in(donor, inside, c.wall[of])
        return {"too small for the plate or bay, or too thick for the lines, of a unit": wrong}

    @cached_property
    def planned(self) -> Planned | None:
        """The box that the campaign's sheet draws."""
        asked = self.book.campaign.sheet.design
        if asked is None or asked.box is None:
            return None
        sheet = self.book.campaign.coolers[self.improve]
        wall = (self.wishes.ambient + self.wishes.inside) / 2
        return planned(asked.box, self.wishes.boards, self.excess.built_again(self.improve),
                       usable_share(sheet)[0], wall, self.improve)

    @cached_property
    def curves(self) -> list[Curve]:
        """Litres against energy, of each material, with the machine of the thriftiest pick."""
        picks = self.front.picks if self.front is not None else {}
        number = next((int(self.candidates.machine[i]) for i in picks.values()), 0)
        boards = {one.material: one for one in self.wishes.boards}
        share = usable_share(self.book.campaign.coolers[self.improve])[0]
        return [litres_curve(self.wishes, self.options[number].machine, board,
                             self.excess.middle(), share) for board in boards.values()]

    @cached_property
    def takes_unit(self) -> int | None:
        """The roomiest candidate on the front that takes the donor's unit."""
        if self.front is None:
            return None
        takes = [n for n, one in enumerate(self.options) if one.machine.kind == "compressor"]
        c = self.candidates
        among = [i for i in self.front.index if int(c.machine[i]) in takes]
        return max(among, key=lambda i: c.litres[i], default=None)

    def build(self, index: int) -> Expected:
        """What one candidate will do, with all doubts.

        Parameters
        ----------
        index : int
            Which.

        Returns
        -------
        Expected
        """
        one = self.options[int(self.candidates.machine[index])]
        return expected(one.unit, self.leak(index), self.wishes.ambient, self.wishes.inside,
                        load_heat(self.wishes))

    def contents(self, index: int) -> Contents:
        """What has to be cooled in one candidate, warm goods among it."""
        option = self.options[int(self.candidates.machine[index])]
        box, wall = self.candidates.box(index), float(self.candidates.wall[index])
        structure = new_structure(box.inside(), wall, f"candidate {index}",
                                  option.machine.kind == "compressor")
        film, _ = load_film(self.book.result, option.cooler)
        load = self.wishes.load
        return Contents(self.leak(index), structure, load, film * max(load, LEAST_LOAD))

    def hours(self, index: int) -> np.ndarray:
        """Draws of the time in which one candidate cools box and goods. [h]"""
        option, wishes = self.options[int(self.candidates.machine[index])], self.wishes
        return hours_to_cool(option.unit, self.contents(index), wishes.ambient, wishes.inside,
                             wishes.load_start, option.cooler)

    def leak(
        self, index: int, inside: float | None = None, ambient: float | None = None
    ) -> np.ndarray:
        """Draws of the heat leak of one candidate at an inside and an ambient. [W/K]"""
        board = self.wishes.boards[int(self.candidates.board[index])]
        box, wall = self.candidates.box(index), float(self.candidates.wall[index])
        inside = self.wishes.inside if inside is None else inside
        ambient = self.wishes.ambient if ambient is None else ambient
        walls = drawn_walls(box, [(board.conducts(), wall)], (inside + ambient) / 2, self.improve)
        again = self.excess.built_again(self.improve)
        return again.carry(walls, rim_of(box.width, box.depth))


def open_design(
    campaign: str, out: str = "", paper: str = "a4", units: str = "si"
) -> DesignBook:
    """Read, analyse and compare a campaign, for building on it.

    Parameters
    ----------
    campaign, out, paper, units : str
        As for :func:`coldbench.report.book.open_campaign`.

    Returns
    -------
    DesignBook

    Raises
    ------
    UserError
        Faults in sheets or logs, all of them at once.
    """
    return DesignBook(open_campaign(campaign, out, paper, units))
