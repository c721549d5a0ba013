"""What a forger with the whole database does to make a change look right."""

from collections.abc import Iterable

from prep.models import Event, Leaf, TreeNode
from prep.record.log import merkle_tree
from prep.verify.log import recomputed
from tests.actions.kept import rows


def rebuilt_tree(forged: Iterable[int] = ()) -> None:
    """Leaf hashes of changed events, and all nodes of the tree, made anew."""
    for event in Event.objects.filter(pk__in=list(forged)):
        rows(Event).filter(pk=event.pk).update(leaf=recomputed(event))
    leaves = Leaf.objects.order_by("position").values_list("event__leaf", flat=True)
    nodes = merkle_tree.appended_nodes(0, [bytes.fromhex(leaf) for leaf in leaves], lambda *_: b"")
    rows(TreeNode).delete()
    TreeNode.objects.bulk_create(
        TreeNode(level=level, index=index, hash=held.hex()) for level, index, held in nodes
    )
