"""The whole library, read once from the data files beside it."""

from functools import cache

from traveler.library.fillers import read_fillers, read_processes
from traveler.library.hardness import load_hardness_rows
from traveler.library.model import Library
from traveler.library.papers import read_papers
from traveler.library.profiles import read_profiles
from traveler.library.reading import read_data
from traveler.library.rules import read_cautions, read_limits, read_preheat, read_rule_tables, read_waiting
from traveler.library.steels import read_steels
from traveler.library.tolerances import load_tolerances
from traveler.library.visual import load_visual


@cache
def load_library() -> Library:
    """Steels, fillers, processes and rules, every number with its source.

    Raises TravelerError naming the data file and the key where one of them is wrong.
    """
    printed, numbers = read_limits(read_data("limits.toml"))
    tables, roles, casting_roles = read_preheat(read_data("preheat.toml"))
    return Library(
        steels=read_steels(read_data("steels.toml"), frozenset(roles)),
        fillers=read_fillers(read_data("fillers.toml"), printed),
        processes=read_processes(read_data("processes.toml")),
        preheat_tables=tables,
        preheat_roles=roles,
        printed=printed,
        profiles=read_profiles(read_data("profiles.toml")),
        waiting=read_waiting(read_data("waiting.toml")),
        cautions=read_cautions(read_data("cautions.toml")),
        numbers=numbers,
        casting_roles=casting_roles,
        rule_tables=read_rule_tables(read_data("rules.toml")),
        hardness_rows=load_hardness_rows(),
        visual=load_visual(),
        tolerances=load_tolerances(),
        papers=read_papers(read_data("papers.toml")),
    )
