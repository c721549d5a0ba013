"""Whether what is held against events may be: only events that are proved can accuse anything.

After one event was altered, the rows and documents that follow from it differ from it, though
nobody touched them. Asked only where something differs, so it costs nothing where all holds.
"""

from prep.models import Checkpoint, Event, TreeNode
from prep.queries import log
from prep.verify.log import PAGE, recomputed


def intact(stream: str, name: str) -> bool:
    """Whether a stream has no gap, and each of its events is proved to be the one recorded."""
    events = Event.objects.filter(stream=stream, stream_id=name).order_by("version")
    doubtful = doubtful_from()
    return all(
        event.version == version and is_proved(event, doubtful)
        for version, event in enumerate(events.iterator(PAGE), 1)
    )


def doubtful_from() -> int | None:
    """First position that may hold something other than what was signed; None where none may.

    Two roots that agree prove that everything before them does. So the newest checkpoint that the
    tree leads to is searched by halves.
    """
    sizes = list(Checkpoint.objects.order_by("size").values_list("size", flat=True))
    agreeing, differing = 0, len(sizes)
    while agreeing < differing:
        middle = (agreeing + differing) // 2
        if _agrees(sizes[middle]):
            agreeing = middle + 1
        else:
            differing = middle
    if agreeing == len(sizes):
        return None
    return sizes[agreeing - 1] if agreeing else 0


def _agrees(size: int) -> bool:
    root = Checkpoint.objects.values_list("root", flat=True).get(size=size)
    try:
        return log.root(size).hex() == root
    except (KeyError, ValueError):
        return False


def is_proved(event: Event, doubtful: int | None) -> bool:
    """Whether an event gives the hash it was sealed with, or waits with, at a proved position.

    `doubtful` is the first position that is not, from `doubtful_from`.
    """
    position = log.position_of(event.pk)
    if position is None:
        return recomputed(event) == event.leaf
    if doubtful is not None and position >= doubtful:
        return False
    sealed = TreeNode.objects.filter(level=0, index=position).values_list("hash", flat=True)
    return recomputed(event) == sealed.first()
