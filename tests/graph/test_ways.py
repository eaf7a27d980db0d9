"""The small graph of supersession gives what networkx gives."""

import networkx as nx
from benchleaf.graph.model import Source, Supersession
from benchleaf.graph.ways import Ways, strong
from hypothesis import given, settings
from hypothesis import strategies as st

NUMBERS = st.sampled_from(["A10", "A11", "A12", "A13", "A14", "A15", "A16"])
SIDES = st.lists(NUMBERS, min_size=1, max_size=2)
PAIRS = st.lists(st.tuples(SIDES, SIDES), max_size=14)
LINKS = st.lists(st.tuples(NUMBERS, NUMBERS), max_size=24)


@given(PAIRS, NUMBERS, NUMBERS)
@settings(max_examples=400, deadline=None)
def test_a_path_is_the_one_that_networkx_takes(pairs, old, new):
    """Over any splits, merges and circles the path, and where several are as short the one of them, is that
    of networkx's `shortest_path`; None where that finds none."""
    said = [
        Supersession(note="VB 1", date=None, quote="q", source=Source("n", 1), old=tuple(a), new=tuple(b))
        for a, b in pairs
    ]
    graph = nx.MultiDiGraph()
    for a, b in pairs:
        graph.add_nodes_from((*a, *b))
        graph.add_edges_from((o, n) for o in a for n in b if o != n)
    known = old in graph and new in graph and nx.has_path(graph, old, new)
    assert Ways(said).path(old, new) == (nx.shortest_path(graph, old, new) if known else None)
    assert sorted(Ways(said).edges()) == sorted(graph.edges())


@given(LINKS)
@settings(max_examples=400, deadline=None)
def test_rings_are_those_of_networkx_in_its_order(links):
    """Over any links the groups are networkx's strongly connected components, in the same order."""
    graph = nx.DiGraph(links)
    assert strong({n: list(graph[n]) for n in graph}) == list(nx.strongly_connected_components(graph))
