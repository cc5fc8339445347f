"""The linkage from the side is the linkage of the chain; the plan shows every servo on its output."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st
from rooms import any_room, faults, label_faults

from mixlib.chain import Rig, commands
from mixlib.chain.linkage import LinkageError, arm_range_deg, rod_length_mm, surface_angle_deg
from mixlib.describe import plain_setup, shipped, shipped_names
from mixlib.describe.demo import hopper_as_bought
from mixlib.draw.linkage import arm_words, linkage_points, linkage_side
from mixlib.draw.plan import plan_view, wiring_words
from mixlib.draw.shapes import Circle, Line, Polygon, Room, every_shape

AIRCRAFT = [shipped("aircraft", name) for name in shipped_names("aircraft")]
SURFACES = [surface for aircraft in AIRCRAFT for surface in aircraft.surfaces]
SIDES = [("below", "below"), ("above", "above"), ("above", "below"), ("below", "above")]


@pytest.mark.parametrize("sides", SIDES)
@pytest.mark.parametrize("arm", [-25.0, 0.0, 18.0])
def test_rod_keeps_its_length_in_the_picture(sides, arm):
    base = AIRCRAFT[0].surface("left aileron")
    link = base.linkage.replace(arm_side=sides[0], horn_side=sides[1], arm_angle_deg=100, horn_angle_deg=95)
    surface = base.replace(linkage=link)
    places = linkage_points(surface, arm, float(surface_angle_deg(link, arm)))
    assert np.hypot(*np.subtract(places["arm"], places["horn"])) == pytest.approx(
        rod_length_mm(link), abs=1e-9
    )
    assert np.hypot(*places["arm"]) == pytest.approx(link.arm_mm)
    assert np.hypot(*np.subtract(places["horn"], places["hinge"])) == pytest.approx(link.horn_mm)


def test_with_the_nose_to_the_right_everything_lies_the_other_way_round():
    surface, room = AIRCRAFT[0].surface("right aileron"), Room(640, 400)
    left, right = (linkage_side(surface, 10, 0, "", nose, room=room) for nose in ("left", "right"))
    for one, other in zip(every_shape(left.shapes), every_shape(right.shapes), strict=True):
        if isinstance(one, Circle):
            assert (other.x, other.y) == pytest.approx((room.width - one.x, one.y))
    assert "nose to the right" in right.description


def test_arm_forward_is_to_the_left_and_down_is_down():
    surface = AIRCRAFT[0].surface("left aileron")
    assert linkage_points(surface, 20, 0)["arm"][0] < 0 < linkage_points(surface, -20, 0)["arm"][0]
    assert linkage_points(surface, 0, 20)["edge"][1] < 0 < linkage_points(surface, 0, -20)["edge"][1]
    assert linkage_points(surface, 0, 0)["arm"][1] < 0  # stands out below
    assert (arm_words(12.3), arm_words(-12.3), arm_words(0)) == (
        "12.3° forward",
        "12.3° back",
        "at its neutral",
    )


@pytest.mark.parametrize("surface", SURFACES, ids=lambda surface: surface.name)
def test_linkage_is_to_scale_unless_it_says_so(surface):
    drawing = linkage_side(surface, 10, 5)
    shapes = list(every_shape(drawing.shapes))
    arm = next(s for s in shapes if isinstance(s, Line) and s.meaning == "servo arm")
    horn = next(s for s in shapes if isinstance(s, Line) and s.meaning == "horn")
    length = [np.hypot(*np.subtract(*line.points)) for line in (arm, horn)]
    assert length[0] / length[1] == pytest.approx(surface.linkage.arm_mm / surface.linkage.horn_mm)
    rods = [s for s in shapes if isinstance(s, Line) and s.meaning == "rod"]
    shortened = any(getattr(s, "text", "") == "drawn shortened" for s in shapes)
    assert len(rods) == (2 if shortened else 1)
    if not shortened:
        shaft, hinge = (
            next(s for s in shapes if isinstance(s, Circle) and s.meaning == m) for m in ("shaft", "hinge")
        )
        assert (hinge.x - shaft.x) / length[0] == pytest.approx(
            surface.linkage.distance_mm / surface.linkage.arm_mm
        )


@settings(max_examples=60, deadline=None)
@given(
    surface=st.sampled_from(SURFACES),
    sides=st.sampled_from(SIDES),
    arm=st.floats(-60, 60),
    angle=st.floats(-80, 80),
    distance=st.floats(20, 1500),
    note=st.sampled_from(
        ["", "the linkage binds here", "a warning that is much longer than it should ever be, and on"]
    ),
    nose=st.sampled_from(["left", "right"]),
    room=any_room,
)
def test_linkage_words_can_be_read(surface, sides, arm, angle, distance, note, nose, room):
    if surface.kind == "rudder":
        turned = {"above": "right", "below": "left"}
        sides = tuple(turned[side] for side in sides)
    link = surface.linkage.replace(arm_side=sides[0], horn_side=sides[1], distance_mm=distance)
    try:
        arm = float(np.clip(arm, *arm_range_deg(link)))  # past a dead point there is no picture
    except LinkageError:
        reject()
    drawn = linkage_side(surface.replace(linkage=link), arm, angle, note, nose, room=room)
    assert faults(drawn, room) == []


@pytest.mark.parametrize("aircraft", AIRCRAFT, ids=lambda aircraft: aircraft.name)
def test_plan_shows_every_surface_on_its_side_with_its_output(aircraft):
    setup = plain_setup(aircraft, shipped("radio", "rich_ten"))
    drawing = plan_view(setup)
    assert label_faults(drawing) == []
    shapes = list(every_shape(drawing.shapes))
    body = next(s for s in shapes if isinstance(s, Polygon) and s.meaning == "fuselage")
    for surface in aircraft.surfaces:
        number = setup.wiring[surface.name]
        badge = next(s for s in shapes if isinstance(s, Circle) and surface.name in s.meaning)
        assert badge.meaning == f"output {number}: {setup.plugged_in(number)}"
        parts = [s for s in shapes if isinstance(s, Polygon) and s.meaning == surface.name]
        places = [np.mean([x for x, _ in part.points]) - body.points[0][0] for part in parts]
        if surface.side != "centre":
            assert np.sign(places[0]) == (-1 if surface.side == "left" else 1)
        assert f"output {setup.wiring[surface.name]}: " in drawing.description.lower()


def test_a_y_lead_is_one_plug_with_two_leads_and_the_motor_has_its_own():
    setup = hopper_as_bought()
    assert wiring_words(setup) == [
        "output 1: left aileron and right aileron (Y-lead)",
        "output 2: elevator",
        "output 3: motor",
        "output 4: rudder",
    ]
    shapes = list(every_shape(plan_view(setup).shapes))
    leads = [s for s in shapes if isinstance(s, Line) and s.meaning.startswith("output 1:")]
    plug = next(s for s in shapes if isinstance(s, Circle) and s.meaning.startswith("output 1:"))
    ends = [lead.points[1] for lead in leads]
    assert [np.hypot(x - plug.x, y - plug.y) for x, y in ends] == pytest.approx([plug.radius] * 2)
    left, right = sorted(lead.points[0][0] for lead in leads)
    assert left < plug.x < right
    motor = next(s for s in shapes if isinstance(s, Circle) and s.meaning == "output 3: motor")
    assert all(motor.y < s.y for s in shapes if isinstance(s, Circle) and s is not motor)


def test_one_servo_for_two_surfaces_is_no_y_lead():
    aircraft = hopper_as_bought().aircraft
    left, right, *others = aircraft.surfaces
    one = aircraft.replace(surfaces=(left, right.replace(servo_of=left.name), *others))
    words = wiring_words(hopper_as_bought().replace(aircraft=one))
    assert words[0] == "output 1: left aileron and right aileron (one servo)"


@pytest.mark.parametrize("propeller", ["folding", "fixed"])
def test_the_propeller_is_at_the_nose(propeller):
    setup = hopper_as_bought()
    motor = setup.aircraft.motor.replace(propeller=propeller)
    shapes = list(every_shape(plan_view(setup.replace(aircraft=setup.aircraft.replace(motor=motor))).shapes))
    blades = [s for s in shapes if isinstance(s, Polygon) and s.meaning == f"{propeller} propeller"]
    body = next(s for s in shapes if isinstance(s, Polygon) and s.meaning == "fuselage")
    assert {blade.points[0] for blade in blades} == {body.points[0]}
    tips = [
        (blade.points[1][0] - body.points[0][0], blade.points[1][1] - body.points[0][1]) for blade in blades
    ]
    assert tips[0][0] == pytest.approx(-tips[1][0])
    assert (tips[0][1] > abs(tips[0][0])) == (propeller == "folding")  # folded: more back than aside


def test_badges_do_not_touch():
    for aircraft in AIRCRAFT:
        drawing = plan_view(plain_setup(aircraft, shipped("radio", "rich_ten")), room=Room(340, 300))
        badges = [s for s in every_shape(drawing.shapes) if isinstance(s, Circle) and s.role == "badge"]
        for index, one in enumerate(badges):
            for other in badges[index + 1 :]:
                assert np.hypot(one.x - other.x, one.y - other.y) >= one.radius + other.radius


def test_picture_agrees_with_the_rig():
    aircraft = AIRCRAFT[0]
    setup = plain_setup(aircraft, shipped("radio", "rich_ten"))
    stages = Rig(setup).run(commands(roll=0.6))
    for index, surface in enumerate(aircraft.surfaces):
        places = linkage_points(surface, float(stages.arm[index]), float(stages.surface[index]))
        rod = np.hypot(*np.subtract(places["arm"], places["horn"]))
        assert rod == pytest.approx(rod_length_mm(surface.linkage), abs=1e-6)
