"""Which active ingredients a home lawn may not be offered, typed by hand from the sources named
beside each row, which were read in November 2026; nothing here is taken from rules/.

A row: place, ingredients, first and last day (empty: open), how it is known, source. `barred`: a
text of the law, or a public body's account of it, was read and bars home users. `doubtful`: it was
only reported, or what was read leaves it open; no choice may name it either, and nothing may call
it the law. What no row names was not read.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

NEONICS = ("imidacloprid", "clothianidin", "thiamethoxam", "dinotefuran", "acetamiprid")
OTHERS = (
    "chlorantraniliprole", "trichlorfon", "carbaryl", "chlorpyrifos", "diazinon",
    "2,4-D", "MCPA", "mecoprop", "dicamba", "clopyralid", "quinclorac", "glyphosate",
    "MSMA", "atrazine", "dithiopyr", "pendimethalin", "prodiamine", "siduron", "mesotrione",
    "oxadiazon",
)  # fmt: skip
INGREDIENTS = (*NEONICS, *OTHERS)
ALL = INGREDIENTS

# place -> (country, subdivision, county, town)
PLACES = {
    "Maryland": ("US", "MD", "", ""),
    "Montgomery County MD": ("US", "MD", "Montgomery", ""),
    "Maine": ("US", "ME", "", ""),
    "Portland ME": ("US", "ME", "", "Portland"),
    "South Portland ME": ("US", "ME", "", "South Portland"),
    "Vermont": ("US", "VT", "", ""),
    "Connecticut": ("US", "CT", "", ""),
    "New Jersey": ("US", "NJ", "", ""),
    "New York": ("US", "NY", "", ""),
    "California": ("US", "CA", "", ""),
    "Colorado": ("US", "CO", "", ""),
    "Minnesota": ("US", "MN", "", ""),
    "Nevada": ("US", "NV", "", ""),
    "Washington": ("US", "WA", "", ""),
    "Rhode Island": ("US", "RI", "", ""),
    "Massachusetts": ("US", "MA", "", ""),
    "Oregon": ("US", "OR", "", ""),
    "Ohio": ("US", "OH", "", ""),
    "Texas": ("US", "TX", "", ""),
    "Ontario": ("CA", "ON", "", ""),
    "Quebec": ("CA", "QC", "", ""),
    "Nova Scotia": ("CA", "NS", "", ""),
    "New Brunswick": ("CA", "NB", "", ""),
    "Newfoundland": ("CA", "NL", "", ""),
    "Manitoba": ("CA", "MB", "", ""),
    "United Kingdom": ("GB", "ENG", "", ""),
    "France": ("FR", "", "", ""),
    "Germany": ("DE", "", "", ""),
    "Netherlands": ("NL", "", "", ""),
    "Australia": ("AU", "", "", ""),
    "New Zealand": ("NZ", "", "", ""),
}
US = tuple(name for name, (country, *_) in PLACES.items() if country == "US")
CANADA = tuple(name for name, (country, *_) in PLACES.items() if country == "CA")

ROWS = (
    # EPA cancellation orders, Federal Register 6 Dec 2000 and 12 Sep 2001: retail end of 2001.
    (US, ("chlorpyrifos",), "2001-12-31", "", "barred"),
    # University of Georgia Extension, MSMA update, May 2009: last stock 31 Dec 2010.
    (US, ("MSMA",), "2010-12-31", "", "barred"),
    # Maryland Code, Agriculture 5-2A-02 (read in a copy).
    (("Maryland", "Montgomery County MD"), NEONICS, "2018-01-01", "", "barred"),
    # Montgomery County DEP, questions and exemptions; County Code 33B-10 (2015, upheld May 2019).
    (("Montgomery County MD",), ALL, "2019-05-01", "", "barred"),
    # Maine Board of Pesticides Control, Neonicotinoids; rule 01-026 ch. 41 s. 6: September 2022.
    (("Maine", "Portland ME", "South Portland ME"),
     ("imidacloprid", "clothianidin", "thiamethoxam", "dinotefuran"), "2022-09-01", "", "barred"),
    # City of Portland, Pesticide Use Ordinance.
    (("Portland ME",), ALL, "2019-01-01", "", "barred"),
    # City of South Portland, sustainability office: May 2018.
    (("South Portland ME",), ALL, "2018-05-01", "", "barred"),
    # 6 V.S.A. 1105c: ornamental plants; whether a mown lawn is one was not established.
    (("Vermont",), NEONICS, "2025-07-01", "", "doubtful"),
    # Restricted since 2019 or so: from memory.
    (("Vermont",), NEONICS, "2019-07-01", "", "doubtful"),
    # Summary of bill 190 (2024) on 22a-50(l): second hand.
    (("Connecticut",), NEONICS, "2017-01-01", "", "doubtful"),
    # Connecticut Public radio, 2 Jul 2025: turf, everybody: second hand.
    (("Connecticut",), NEONICS, "2027-10-01", "", "doubtful"),
    # Connecticut OLR bill analysis, sSB 120.
    (("Connecticut",), ("chlorpyrifos",), "2023-01-01", "", "barred"),
    # N.J.S.A. 13:1F-4.3, to be classed restricted (signed 18 Jan 2022); ban date second hand.
    (("New Jersey",), NEONICS, "2022-01-18", "", "doubtful"),
    # NYS DEC, Bureau of Pesticide Management; ECL 33-1301(13).
    (("New York",), ("clothianidin", "dinotefuran"), "2024-12-31", "", "barred"),
    (("New York",), ("imidacloprid", "thiamethoxam", "acetamiprid"), "2026-12-31", "", "barred"),
    # Cornell, Pesticides making news, December 2022: already restricted for lawns.
    (("New York",), ("imidacloprid", "thiamethoxam", "acetamiprid"), "2023-01-01", "", "barred"),
    # California DPR, Notice 2024-18.
    (("California",), NEONICS, "2025-01-01", "", "barred"),
    # California DPR, letter ENF 20-10.
    (("California",), ("carbaryl",), "2020-08-01", "", "barred"),
    # Colorado SB23-266, summary: sale by dealers; use not established.
    (("Colorado",), NEONICS, "2024-01-01", "", "doubtful"),
    # NRS 555.351(1)(b): 586.600 not read.
    (("Nevada",), NEONICS, "2024-01-01", "", "doubtful"),
    # Washington Legislature, final bill report SSB 5972.
    (("Washington",), NEONICS, "2026-01-01", "", "barred"),
    # R.I. Gen. Laws 23-25-40, P.L. 2022 ch. 150; start not read.
    (("Rhode Island",), NEONICS, "2022-06-27", "", "barred"),
    # UMass Extension, 2022.
    (("Massachusetts",), NEONICS, "2022-07-01", "", "barred"),
    # Bill digest of HB 2679 (2025): second hand.
    (("Oregon",), NEONICS, "2027-01-01", "", "doubtful"),
    # Federal reviews: from memory.
    (CANADA, NEONICS, "2019-01-01", "", "doubtful"),
    # Ontario Newsroom, cosmetic pesticides ban backgrounder, 4 Mar 2009.
    (("Ontario",), ALL, "2009-04-22", "", "barred"),
    # Open data of Quebec: Annex I not read.
    (("Quebec",), ALL, "2003-04-03", "", "doubtful"),
    # Nova Scotia Environment: the allowable list only.
    (("Nova Scotia",), ALL, "2011-04-01", "", "barred"),
    # Advocacy comparison, 2009: second hand; granules and hose-end products too.
    (("New Brunswick",), ALL, "2009-01-01", "", "doubtful"),
    # Case study citing NLR 26/12: second hand.
    (("Newfoundland",), ("2,4-D", "mecoprop", "dicamba", "MCPA", "carbaryl"), "2012-01-01", "",
     "doubtful"),
    # S.M. 2022 c. 40: the ban of 2015 repealed on 3 Nov 2022.
    (("Manitoba",), ALL, "2015-01-01", "2022-11-02", "barred"),
    # No source read; and trade pages on grubs.
    (("United Kingdom",), NEONICS, "2018-12-31", "", "doubtful"),
    (("United Kingdom",), ("carbaryl", "trichlorfon", "chlorantraniliprole", "chlorpyrifos"),
     "", "", "doubtful"),
    # Press relaying the European Commission, 27 Apr 2018: second hand.
    (("France", "Germany", "Netherlands"), ("imidacloprid", "clothianidin", "thiamethoxam"),
     "2018-12-31", "", "doubtful"),
    # DRAAF Hauts-de-France, Loi Labbé.
    (("France",), ALL, "2019-01-01", "", "barred"),
    # BVL: only what is marked for non-professional users.
    (("Germany",), ALL, "", "", "doubtful"),
    # rijksoverheid.nl: only what the Ctgb admits for private users.
    (("Netherlands",), ALL, "", "", "doubtful"),
    # APVMA notice, 27 Jun 2019: announced.
    (("Australia",), ("chlorpyrifos",), "2019-06-24", "", "doubtful"),
    # NZ EPA release, 10 Jul 2025: phased out to about 10 Jan 2027.
    (("New Zealand",), ("chlorpyrifos",), "2025-07-10", "2027-01-10", "doubtful"),
    (("New Zealand",), ("chlorpyrifos",), "2027-01-11", "", "barred"),
    # Industry body 2015; trade summary: second hand.
    (("New Zealand",), ("clopyralid",), "2008-01-01", "", "doubtful"),
    (("New Zealand",), ("carbaryl", "diazinon"), "2015-07-01", "", "doubtful"),
)  # fmt: skip

NOBODY_HIRED = {
    # Everybody is bound by the county's and the cities' ordinances and by the provinces' bans, or
    # may be; in the Netherlands a hired gardener may use none (rijksoverheid.nl, 1 Nov 2017).
    "Montgomery County MD", "Portland ME", "South Portland ME", "Ontario", "Quebec", "Nova Scotia",
    "New Brunswick", "Netherlands",
}  # fmt: skip


@dataclass(frozen=True)
class Expected:
    """What may be said of the ingredients at a place on a day."""

    barred: frozenset[str]
    doubtful: frozenset[str]

    @property
    def left_out(self) -> frozenset[str]:
        """What no choice may name."""
        return self.barred | self.doubtful


def expected(place: str, on: dt.date) -> Expected:
    """The rows of a place that hold on a day."""
    found: dict[str, set[str]] = {"barred": set(), "doubtful": set()}
    for places, ingredients, first, last, known in ROWS:
        begun = not first or dt.date.fromisoformat(first) <= on
        over = bool(last) and on > dt.date.fromisoformat(last)
        if place in places and begun and not over:
            found[known].update(ingredients)
    return Expected(frozenset(found["barred"]), frozenset(found["doubtful"]))
