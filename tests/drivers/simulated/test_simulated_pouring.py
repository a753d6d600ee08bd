"""Streams, drips, transfers and the pouring hand: nothing is lost, and a hand errs like a hand."""

from collections.abc import Callable
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drivers.simulated import ImpossibleAct, SimulatedBench, SimulatedMaterial, material_for
from drivers.simulated.handling import Stream
from drivers.simulated.materials import oil, powder, water
from drivers.simulated.simulated_vessel import Mixture
from drivers.simulated.water import Air
from drivers.simulated.world import World

Rest = Callable[[], None]


def dry_world(seed: int = 1) -> World:
    """No devices, and air so damp that nothing evaporates."""
    world = World(seed, Air(20.0, 1.0, 0.0))
    world.add_vessel("pot", 200.0, 5000.0)
    world.add_vessel("jug", 100.0, 5000.0)
    return world


def run(world: World, seconds: float) -> None:
    for _ in range(round(seconds * 10)):
        world.step(0.1)


def stream_into(world: World, material: SimulatedMaterial, seed: int = 1) -> Stream:
    stream = Stream(material, "pot", 20.0, Random(seed))
    world.handlings.append(stream)
    return stream


def fill(world: World, key: str, material: SimulatedMaterial, grams: float) -> None:
    world.vessel(key).receive(Mixture.of(material, grams), world.air.temp_c)


@settings(max_examples=40)
@given(
    flows=st.lists(st.floats(0.0, 60.0), min_size=1, max_size=5),
    material=st.sampled_from([water(), oil(), powder()]),
    seed=st.integers(0, 1000),
)
def test_what_leaves_the_bottle_falls_for_a_view_and_is_then_in_the_pot(
    flows: list[float], material: SimulatedMaterial, seed: int
) -> None:
    world = dry_world(seed)
    stream = stream_into(world, material, seed)
    for flow in flows:
        stream.wanted_g_s = flow
        before = stream.poured_g
        run(world, 0.7)
        assert before - 1e-9 <= world.vessel("pot").net_g <= stream.poured_g + 1e-9
    stream.halt(world.now_s)
    run(world, 5.0)
    assert stream.still
    assert world.vessel("pot").net_g == pytest.approx(stream.poured_g)


def test_after_stopping_more_arrives_than_the_scale_had_shown() -> None:
    world = dry_world()
    stream = stream_into(world, water())
    stream.wanted_g_s = 20.0
    run(world, 5.0)
    stream.halt(world.now_s)
    before = world.vessel("pot").net_g
    run(world, 5.0)
    assert 20.0 * 0.25 * 0.6 < world.vessel("pot").net_g - before < 20.0 * 0.25 * 2.5


@settings(max_examples=30)
@given(there=st.floats(1.0, 800.0), residue=st.floats(0.0, 5.0), already=st.floats(0.0, 500.0))
def test_a_transfer_leaves_its_residue_and_loses_nothing(
    there: float, residue: float, already: float
) -> None:
    world = dry_world()
    fill(world, "jug", powder(), there)
    fill(world, "pot", powder("clay"), already)
    world.transfer("jug", "pot", residue_g=residue)
    run(world, 30.0)
    assert not world.busy
    assert world.vessel("jug").net_g == pytest.approx(min(there, residue), abs=1e-6)
    assert world.vessel("jug").net_g + world.vessel("pot").net_g == pytest.approx(there + already)


def test_what_a_spoon_takes_out_is_gone() -> None:
    world = dry_world()
    fill(world, "pot", powder(), 100.0)
    world.remove("pot", 5.0)
    run(world, 3.0)
    assert not world.busy
    assert world.vessel("pot").net_g == pytest.approx(95.0)


def test_what_does_not_fit_runs_over() -> None:
    world = dry_world()
    small = world.add_vessel("boat", 5.0, 50.0)
    fill(world, "boat", water(), 80.0)
    assert small.volume_ml == pytest.approx(50.0)
    assert small.net_g + small.spilt_g == pytest.approx(80.0)


def poured(
    seed: int, grams: float, skill: float, material: SimulatedMaterial, scale: str = "bench scale"
) -> float:
    with SimulatedBench(seed=seed) as bench:
        bench.world.add_vessel("pot", 100.0, 1500.0)
        bench.world.put_on(scale, "pot")
        act = bench.world.pour_to(material, "pot", grams, skill)
        for _ in range(1200):
            bench.advance(0.1)
            if not bench.busy:
                break
        assert act.done
        assert act.poured_g == pytest.approx(bench.world.vessel("pot").net_g, abs=0.02)
        return bench.world.vessel("pot").net_g


def test_a_practised_hand_lands_close_and_a_clumsy_one_overshoots() -> None:
    practised = [poured(seed, 200.0, 1.0, water()) / 200.0 - 1.0 for seed in range(8)]
    clumsy = [poured(seed, 200.0, 0.1, water()) / 200.0 - 1.0 for seed in range(8)]
    assert max(abs(error) for error in practised) < 0.006
    assert min(practised) < 0.0 < max(practised)
    assert min(clumsy) > 0.02


def test_on_the_fine_scale_a_practised_hand_doses_within_a_few_hundredths() -> None:
    errors = [poured(seed, 3.0, 1.0, oil(), "fine scale") - 3.0 for seed in range(8)]
    assert max(abs(error) for error in errors) < 0.06


def test_the_same_seed_pours_the_same_and_another_does_not() -> None:
    assert poured(4, 120.0, 0.6, oil()) == poured(4, 120.0, 0.6, oil())
    assert poured(4, 120.0, 0.6, oil()) != poured(5, 120.0, 0.6, oil())


def test_bottles_are_filled_from_the_batch_until_it_is_empty(bench: SimulatedBench, rest: Rest) -> None:
    bench.world.pour_to(water(), "pot", 150.0)
    rest()
    there = bench.world.vessel("pot").net_g
    for key in ("bottle 1", "bottle 2"):
        bench.world.add_vessel(key, 20.0, 130.0, wall="plastic")
        bench.world.put_on("bench scale", key)
        bench.world.pour_from("pot", key, 100.0, skill=0.9)
        rest()
        bench.world.lift("bench scale")
        rest()
    full, partly = bench.world.vessel("bottle 1"), bench.world.vessel("bottle 2")
    assert full.net_g == pytest.approx(100.0, rel=0.02)
    assert full.net_g + partly.net_g + bench.world.vessel("pot").net_g == pytest.approx(there, abs=0.2)
    assert bench.world.vessel("pot").net_g == pytest.approx(0.5, abs=0.01)


def test_hands_cannot_do_the_impossible(bench: SimulatedBench) -> None:
    bench.world.put_on("bench scale", "pot")
    for act in (
        lambda: bench.world.put_on("bench scale", "oil pot"),
        lambda: bench.world.transfer("pot", "pot"),
        lambda: bench.world.out_of_bath("pot"),
        lambda: bench.world.add_vessel("pot", 1.0, 1.0),
    ):
        with pytest.raises(ImpossibleAct):
            act()


def test_every_role_has_plausible_physics() -> None:
    roles = (
        "water humectant oil butter wax emulsifier conditioner thickener gum preservative active antioxidant"
    )
    for role in [*roles.split(), "chelator", "fragrance", "acid", "base", "colour", "other"]:
        material = material_for(role, f"Some {role}")
        assert 1.0 <= material.cp_j_gk <= 4.3
        assert 0.4 <= material.density_g_ml <= 2.0
        assert (material.water_share > 0.0) == (role in ("water", "acid", "base"))
        assert (material.melts_c is not None) == (role in ("butter", "wax", "emulsifier", "conditioner"))


def test_a_strength_in_the_name_is_believed() -> None:
    weak, strong = (
        material_for("acid", "Citric acid solution 10 %"),
        material_for("acid", "Citric acid solution 50 %"),
    )
    assert strong.acids[0][1] == pytest.approx(5.0 * weak.acids[0][1])
    assert material_for("base", "Sodium hydroxide 10 %").strong_mol_kg == pytest.approx(2.5002, abs=1e-3)


def test_told_to_stop_a_hand_stops_and_tops_nothing_up(bench: SimulatedBench, rest: Rest) -> None:
    bench.world.put_on("bench scale", "pot")
    act = bench.world.pour_to(water(), "pot", 300.0)
    while act.poured_g < 60.0:
        bench.advance(0.1)
    told_at_g = act.poured_g
    bench.world.stop_hands()
    rest()
    assert act.done
    assert told_at_g <= bench.world.vessel("pot").net_g < told_at_g + 20.0
