"""Reading ``papers.toml``: what is usually asked of a vendor to come back with a part."""

from traveler.library.reading import Table


def read_papers(data: Table) -> dict[str, tuple[str, ...]]:
    """Every list by its kind of step, with those of ``any`` for every other kind."""
    papers = {}
    for table in data.tables("papers"):
        kind, asks = table.text("kind"), table.texts("asks")
        if not asks or kind in papers:
            raise table.fault("kind" if asks else "asks", kind, "each kind once, with a paper at least")
        table.source()
        table.done()
        papers[kind] = asks
    data.done()
    return papers
