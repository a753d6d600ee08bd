"""The bench as a whole: the same bytes for the same acts, devices that fail on demand, probes, bath and pH."""

from collections.abc import Callable

import pytest
import serial

from drivers.simulated import ImpossibleAct, SimulatedBench, material_for
from drivers.simulated.materials import Acid, acid_solution, buffered, oil, water, wax
from drivers.simulated.simulated_vessel import Mixture, melted

Opener = Callable[[str], serial.SerialBase]
Rest = Callable[[], None]


class Listener:
    """Reads everything a device sends, line by line."""

    def __init__(self, bench: SimulatedBench, name: str, port: serial.SerialBase) -> None:
        self.bench, self.name, self.port, self.read = bench, name, port, 0

    def lines(self) -> list[bytes]:
        data = self.port.read(self.bench.sent_bytes(self.name) - self.read)
        self.read += len(data)
        return list(data.splitlines())


@pytest.fixture
def listen(bench: SimulatedBench, plug_in: Opener) -> Callable[[str], Listener]:
    return lambda name: Listener(bench, name, plug_in(name))


def a_little_work(seed: int) -> dict[str, bytes]:
    """Everything sent during a weighing and some heating."""
    with SimulatedBench(seed=seed) as bench:
        ports = {d.name: serial.Serial(d.port, timeout=2.0) for d in bench.bench.devices}
        bench.advance(0.0)
        bench.world.add_vessel("pot", 250.0, 800.0)
        bench.world.put_on("bench scale", "pot")
        bench.world.probe_into("probe 1", "pot")
        for step in range(400):
            if step == 50:
                bench.world.press_tare("bench scale")
            if step == 80:
                bench.world.pour_to(water(), "pot", 120.0, 0.7)
            bench.advance(0.1)
        bench.world.lift("bench scale")
        bench.world.into_bath("pot")
        bench.world.bath_on(75.0)
        bench.faults.garbage("thermometer", 2)
        for _ in range(60):
            bench.advance(1.0)
        heard = {name: port.read(bench.sent_bytes(name)) for name, port in ports.items()}
        for port in ports.values():
            port.close()
        return heard


def test_the_same_seed_and_acts_give_the_same_bytes() -> None:
    first, again, other = a_little_work(11), a_little_work(11), a_little_work(12)
    assert len(first["bench scale"]) > 4000
    assert first == again
    assert first != other


def test_a_weighing_as_it_is_heard(
    bench: SimulatedBench, rest: Rest, listen: Callable[[str], Listener]
) -> None:
    scale = listen("bench scale")
    bench.world.put_on("bench scale", "pot")
    rest()
    assert scale.lines()[-1] == b"ST,GS,+00250.0,g"
    bench.world.press_tare("bench scale")
    rest()
    assert scale.lines()[-1] in (b"ST,NT,+00000.0,g", b"ST,NT,+00000.1,g", b"ST,NT,-00000.1,g")
    bench.world.pour_to(oil(), "pot", 80.0, skill=0.9)
    rest()
    lines = scale.lines()
    assert float(lines[-1].split(b",")[2]) == pytest.approx(bench.world.vessel("pot").net_g, abs=0.15)
    assert lines[5].startswith(b"US,NT,")
    bench.world.lift("bench scale")
    rest()
    assert float(scale.lines()[-1].split(b",")[2]) == pytest.approx(-250.0, abs=0.15)


def test_power_cycled_under_a_full_vessel_the_scale_says_zero(
    bench: SimulatedBench, rest: Rest, listen: Callable[[str], Listener]
) -> None:
    scale = listen("bench scale")
    bench.world.put_on("bench scale", "pot")
    bench.world.pour_to(water(), "pot", 100.0)
    rest()
    scale.lines()
    bench.faults.power_cycle("bench scale", off_s=10.0)
    bench.advance(11.0)
    assert scale.lines() == []
    bench.advance(3.0)
    assert scale.lines()[-1].startswith(b"ST,GS,+00000.")


def test_faults_are_heard_and_pass(bench: SimulatedBench, listen: Callable[[str], Listener]) -> None:
    scale, thermometer = listen("bench scale"), listen("thermometer")
    bench.faults.freeze("bench scale")
    bench.advance(5.0)
    assert scale.lines() == []
    bench.faults.thaw("bench scale")
    bench.faults.spike("bench scale", 500.0)
    bench.advance(2.0)
    assert [float(line.split(b",")[2]) for line in scale.lines()] == [
        pytest.approx(500.0, abs=0.2),
        pytest.approx(0.0, abs=0.2),
    ]
    bench.faults.wrong_unit("bench scale")
    bench.faults.wrong_unit("thermometer", unit="F")
    bench.advance(1.0)
    assert scale.lines()[-1].endswith(b",pcs")
    assert thermometer.lines()[-1].startswith(b"T1=+069.")
    bench.faults.wrong_unit("bench scale", False)
    bench.faults.wrong_unit("thermometer", False)
    bench.faults.open_probe("probe 2")
    bench.faults.garbage("bench scale", 3)
    bench.advance(4.0)
    assert thermometer.lines()[-1].endswith(b",T2=-----C")
    *garbled, good = bytes(scale.port.read(bench.sent_bytes("bench scale") - scale.read)).split(b"\r\n")[:-1]
    assert len(garbled) >= 3
    assert not any(line.startswith(b"ST,GS,+") for line in garbled[:3])
    assert good.endswith(b",g")


def test_a_stuck_device_repeats_itself_and_a_babbling_one_ends_no_line(
    bench: SimulatedBench, rest: Rest, listen: Callable[[str], Listener]
) -> None:
    scale = listen("fine scale")
    bench.advance(1.0)
    bench.faults.stuck("fine scale")
    bench.world.put_on("fine scale", "boat")
    rest()
    assert set(scale.lines()[1:]) == {
        scale_line for scale_line in [bench.model("fine scale").spoken().strip()]
    }
    bench.faults.stuck("fine scale", False)
    bench.faults.babble("fine scale")
    bench.advance(3.0)
    heard = scale.port.read(bench.sent_bytes("fine scale") - scale.read)
    assert len(heard) == 72
    assert b"\n" not in heard


def test_swapped_cables(bench: SimulatedBench, rest: Rest, plug_in: Opener) -> None:
    bench.world.put_on("fine scale", "boat")
    rest()
    bench.faults.swap("bench scale", "fine scale")
    port = plug_in("bench scale")
    bench.advance(1.0)
    assert port.read(18).startswith(b"ST,GS,+0005.0")


def test_drift_belongs_to_scales(bench: SimulatedBench) -> None:
    bench.faults.drift("bench scale", 1.0)
    bench.advance(120.0)
    assert bench.world.scale("bench scale").gross_g == pytest.approx(2.0, abs=0.05)
    with pytest.raises(ImpossibleAct, match="not a scale"):
        bench.faults.drift("thermometer", 1.0)


def test_a_probe_follows_its_liquid_and_falls_away_in_air(bench: SimulatedBench, rest: Rest) -> None:
    world = bench.world
    world.pour_to(water(), "pot", 300.0, temp_c=80.0)
    rest()
    probe = world.probe("probe 1")
    world.probe_into("probe 1", "pot")
    bench.advance(3.0)
    assert 40.0 < probe.temp_c < world.vessel("pot").temp_c - 5.0  # one lag in, two thirds of the way
    bench.advance(30.0)
    assert probe.temp_c == pytest.approx(world.vessel("pot").temp_c, abs=0.2)
    world.probe_into("probe 1", None)
    bench.advance(30.0)
    assert probe.temp_c < 20.0  # wet in air: below the 21 °C of the room
    world.wipe("probe 1")
    bench.advance(120.0)
    assert probe.temp_c == pytest.approx(21.0, abs=0.1)


def test_two_phases_come_up_in_the_bath_and_only_water_is_lost(bench: SimulatedBench, rest: Rest) -> None:
    world = bench.world
    world.pour_to(water(), "pot", 300.0)
    rest()
    world.pour_to(oil(), "oil pot", 60.0)
    world.pour_to(wax(), "oil pot", 20.0)
    rest()
    masses = {key: world.vessel(key).net_g + world.vessel(key).evaporated_g for key in ("pot", "oil pot")}
    world.bath_on(82.0, power_w=1500.0)
    for key in masses:
        world.into_bath(key)
        world.stir(key)
    for _ in range(35 * 60):
        bench.advance(1.0)
    pot, oil_pot = world.vessel("pot"), world.vessel("oil pot")
    assert 70.0 < pot.temp_c < 82.0
    assert 70.0 < oil_pot.temp_c < 82.0
    solids = [m for m in oil_pot.mixture.materials.values() if m.melts_c is not None]
    assert all(melted(m, oil_pot.temp_c) == 1.0 for m in solids)
    assert oil_pot.net_g == pytest.approx(masses["oil pot"])
    assert pot.net_g + pot.evaporated_g == pytest.approx(masses["pot"])
    assert 3.0 < pot.evaporated_g < 40.0


def test_ph_of_a_batch_is_moved_by_acid_and_read_by_the_electrode(
    bench: SimulatedBench, rest: Rest, listen: Callable[[str], Listener]
) -> None:
    world = bench.world
    meter = listen("ph meter")
    world.vessel("pot").receive(Mixture.of(water(), 380.0), 21.0)
    world.vessel("pot").receive(Mixture.of(material_for("preservative", "A preservative"), 5.0), 21.0)
    rest()
    raw = world.vessel("pot").ph()
    world.vessel("pot").receive(Mixture.of(acid_solution("Citric acid 20 %"), 0.5), 21.0)
    rest()
    lowered = world.vessel("pot").ph()
    assert raw is not None
    assert lowered is not None
    assert lowered < raw - 0.3
    meter.lines()
    world.ph_probe_into("pot")
    bench.advance(60.0)
    readings = [float(line.removeprefix(b"pH ")) for line in meter.lines()[-20:]]
    assert sum(readings) / 20 == pytest.approx(lowered, abs=0.03)
    assert max(readings) - min(readings) < 0.15
    assert len(set(readings)) > 1


def test_an_electrode_out_of_true_shows_it_in_its_buffers(bench: SimulatedBench, rest: Rest) -> None:
    world = bench.world
    world.vessel("pot").receive(
        Mixture.of(buffered("pH 4.01", Acid("buffer", (4.01,)), 0.05, 0.5, 0.99), 50.0), 21.0
    )
    rest()
    probe = world.ph_probes["ph meter"]
    probe.slope, probe.offset = 0.9, 0.1
    world.ph_probe_into("pot")
    bench.advance(60.0)
    assert probe.reading() == pytest.approx(7.0 + 0.9 * (4.01 - 7.0) + 0.1, abs=0.1)


def test_at_altitude_water_boils_sooner() -> None:
    with SimulatedBench(altitude_m=2000.0) as bench:
        assert bench.world.air.boiling_c == pytest.approx(93.317, abs=0.01)  # ISA, iapws and CoolProp


def test_time_passes_alike_in_long_and_short_steps(bench: SimulatedBench) -> None:
    bench.world.vessel("pot").receive(Mixture.of(water(), 200.0), 21.0)
    with SimulatedBench(seed=3) as other:
        other.world.add_vessel("pot", 250.0, 800.0)
        other.world.vessel("pot").receive(Mixture.of(water(), 200.0), 21.0)
        bench.advance(600.0)
        for _ in range(600):
            other.advance(1.0)
        assert bench.now_s == other.now_s == 600.0
        assert bench.world.vessel("pot").temp_c == pytest.approx(other.world.vessel("pot").temp_c, abs=0.01)


def test_a_scale_that_switched_itself_off_says_nothing_and_forgets_its_tare(
    bench: SimulatedBench, rest: Rest, listen: Callable[[str], Listener]
) -> None:
    scale = listen("bench scale")
    bench.world.put_on("bench scale", "pot")
    bench.world.press_tare("bench scale")
    rest()
    bench.faults.switch_off("bench scale")
    scale.lines()
    bench.advance(30.0)
    assert scale.lines() == []
    bench.faults.switch_on("bench scale")
    bench.faults.switch_on("bench scale")
    bench.world.lift("bench scale")
    rest()
    assert float(scale.lines()[-1].split(b",")[2]) == pytest.approx(-250.0, abs=0.15)


def test_a_dry_bath_is_felt_by_a_probe_in_it(bench: SimulatedBench) -> None:
    bench.world.refill_bath(90.0, level_g=160.0)
    bench.world.bath_on(80.0)
    bench.world.probe_into("probe 1", "bath")
    for _ in range(1800):
        bench.advance(1.0)
    assert bench.world.bath.level_g < 150.0
    assert bench.world.bath.temp_c > 110.0


def test_the_hand_does_not_begin_before_the_scale_rests(bench: SimulatedBench) -> None:
    bench.world.put_on("bench scale", "pot")
    act = bench.world.pour_to(water(), "pot", 50.0)
    bench.advance(0.5)
    assert act.poured_g == 0.0
    assert bench.busy
