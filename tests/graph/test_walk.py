"""The small walk gives what networkx gives."""

import networkx as nx
from benchleaf.graph.model import Source, Supersession
from benchleaf.graph.walk import distances, links
from hypothesis import given
from hypothesis import strategies as st

NUMBERS = st.sampled_from(["A-10", "A-11", "A-12", "A-13", "A-14", "A-15"])
PAIRS = st.lists(
    st.tuples(st.lists(NUMBERS, min_size=1, max_size=2), st.lists(NUMBERS, min_size=1, max_size=2))
)


@given(PAIRS, NUMBERS, st.booleans())
def test_distances_are_those_of_networkx(pairs, start, back):
    """Over any splits, merges and circles, forwards or back, the distances are networkx's shortest paths."""
    said = [
        Supersession(note="VB 1", date=None, quote="q", source=Source("n", 1), old=tuple(old), new=tuple(new))
        for old, new in pairs
    ]
    graph = nx.DiGraph([(o, n) for old, new in pairs for o in old for n in new])
    graph.add_node(start)
    graph = graph.reverse() if back else graph
    want = {
        k.replace("-", ""): d for k, d in nx.single_source_shortest_path_length(graph, start).items() if d
    }
    assert distances(start.replace("-", ""), links(said, back=back)) == want
