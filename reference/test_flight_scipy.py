"""`calc flight` against SciPy's DOP853 on the equation of motion, written down here once more from its statement.

m dv/dt = -1/2 rho A CD |u| u + 1/2 rho A CL |u| (s x u) - m g up, u the velocity through the air, s the axis of spin, which
keeps its direction; d omega/dt = -k omega |u| / r. Drag and lift by the spin number r omega / |u| and Reynolds' number. Air
from temperature, pressure and humidity by Tetens, the ideal gas and Sutherland. Landing is found by solve_ivp's own event.

Tolerance: DOP853 at rtol 1e-10 and atol 1e-10 moves a carry by less than a micrometre; the tool is asked at 1e-10 (must agree
to a tenth of a millimetre) and as it usually is (must agree to a centimetre).
"""

import math

import numpy as np
from scipy.integrate import solve_ivp

FLIGHTS = 60
SEED = 1851
FINE_M = 1e-4
USUAL_M = 0.01


def air(question):
    """Density and viscosity of moist air."""
    celsius = question.get("temp_c", 23.9)
    kelvin = celsius + 273.15
    pressure = question.get("pressure_pa", 101592.0)
    vapour = question.get("humidity", 0.5) * 610.78 * math.exp(17.27 * celsius / (celsius + 237.3))
    density = (pressure - vapour) / (287.058 * kelvin) + vapour / (461.495 * kelvin)
    viscosity = 1.716e-5 * (kelvin / 273.15) ** 1.5 * (273.15 + 110.4) / (kelvin + 110.4)
    return density, viscosity


def landing(question, method="DOP853", tolerance=1e-10):
    """Where and when the ball comes down, and its highest point."""
    density, viscosity = air(question)
    mass, diameter = 0.04593, 0.04267
    radius, area = diameter / 2, math.pi * diameter**2 / 4
    up_angle, left_angle, tilt = (math.radians(question.get(key, 0.0)) for key in ("launch_deg", "azim_deg", "tilt_deg"))
    velocity = question["speed_mps"] * np.array(
        [math.cos(up_angle) * math.cos(left_angle), math.cos(up_angle) * math.sin(left_angle), math.sin(up_angle)]
    )
    left = np.array([-math.sin(left_angle), math.cos(left_angle), 0.0])
    axis = -left * math.cos(tilt) - np.array([0.0, 0.0, 1.0]) * math.sin(tilt)
    wind = np.array([*question.get("wind_mps", (0.0, 0.0)), 0.0])
    shear = question.get("wind_shear")
    target = question.get("landing_height_m", 0.0)
    ground = min(target, 0.0)

    def slope(_, state):
        place, velocity, spin = state[:3], state[3:6], state[6]
        share = 1.0 if shear is None else (max(place[2] - ground, 0.0) / 10.0) ** shear
        through = velocity - wind * share
        speed = np.linalg.norm(through)
        number = radius * spin / speed
        lift = 0.46 * number / (number + 0.163)
        reynolds = density * speed * diameter / viscosity
        drag = 0.1945 + 1.15 * lift**2 + 0.22 / (1 + math.exp((reynolds - 72000) / 10000))
        force = 0.5 * density * area * speed * (lift * np.cross(axis, through) - drag * through)
        pull = force / mass - np.array([0.0, 0.0, 9.80665])
        return np.concatenate([velocity, pull, [-2.0e-5 * spin * speed / radius]])

    def down(_, state):
        return state[2] - target

    down.terminal, down.direction = True, -1

    def top(_, state):
        return state[5]

    top.direction = -1
    start = np.concatenate([[0.0, 0.0, 0.0], velocity, [question["spin_rpm"] * math.pi / 30]])
    solved = solve_ivp(slope, (0.0, 60.0), start, method, events=(down, top), rtol=tolerance, atol=tolerance)
    assert solved.t_events[0].size == 1, question
    end = solved.y_events[0][0]
    return {
        "carry_m": end[0],
        "side_left_m": end[1],
        "time_s": solved.t_events[0][0],
        "apex_m": solved.y_events[1][0][2],
        "land_spin_rpm": end[6] * 30 / math.pi,
    }


def questions():
    """Launches of every club, straight and crooked, in all weathers, up and down hill."""
    random = np.random.default_rng(SEED)
    for number in range(FLIGHTS):
        question = {
            "speed_mps": random.uniform(25, 82),
            "launch_deg": random.uniform(7, 40),
            "azim_deg": random.uniform(-8, 8),
            "spin_rpm": random.uniform(1200, 10500),
            "tilt_deg": random.uniform(-25, 25),
        }
        if number % 2:
            question["temp_c"] = random.uniform(2, 38)
            question["pressure_pa"] = random.uniform(80000, 103000)
            question["humidity"] = random.uniform(0, 1)
        if number % 3:
            question["wind_mps"] = list(random.uniform(-9, 9, 2))
            if number % 3 == 2:
                question["wind_shear"] = random.uniform(0.1, 0.35)
        if number % 4 == 3:
            question["landing_height_m"] = random.uniform(-25, 2)
        yield question


def test_flights_land_where_scipy_has_them(calc):
    asked = list(questions())
    worked = [landing(question) for question in asked]
    fine = calc("flight", [{**question, "tolerance": 1e-10} for question in asked])
    usual = calc("flight", asked)
    worst = {"fine": 0.0, "usual": 0.0}
    for question, expected, close, loose in zip(asked, worked, fine, usual):
        for name, answer, within in (("fine", close, FINE_M), ("usual", loose, USUAL_M)):
            off = math.hypot(answer["carry_m"] - expected["carry_m"], answer["side_left_m"] - expected["side_left_m"])
            worst[name] = max(worst[name], off)
            assert off < within, (name, question, expected, answer)
            assert abs(answer["apex_m"] - expected["apex_m"]) < within
            assert abs(answer["time_s"] - expected["time_s"]) < within
        assert abs(close["land_spin_rpm"] - expected["land_spin_rpm"]) < 1e-3
    print(f"{FLIGHTS} flights: worst {worst['fine']:.1e} m asked finely, {worst['usual']:.1e} m as usual")
