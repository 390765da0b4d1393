"""The pieces of a job on the screen. Safe text."""

from traveler.report.words import Object, count_words, visible


def pieces_brief(traveler: Object) -> list[str]:
    """The line on the screen of a job; nothing for a single piece that came from nowhere and went nowhere."""
    found = traveler.get("pieces")
    if not found:
        return []
    told = [visible(found["balance"])]
    told += [f"from {visible(origin['job'])}" for origin in found["came_from"][-1:]]
    if found["components"]:
        told.append(count_words(len(found["components"]), "component"))
    if found["used_in"]:
        told.append(f"{found['used']} in assemblies")
    return [f"Pieces: {', '.join(told)}"]
