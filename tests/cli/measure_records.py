"""Attempts in closed form, for tests that write records of them."""
import math

GRAVITY = 9.80665
TAKEOFF, AIR = 1.5, 0.8


def product(a, b):
    w, x, y, z = a
    v, i, j, k = b
    return (w * v - x * i - y * j - z * k, w * i + x * v + y * k - z * j,
            w * j - x * k + y * v + z * i, w * k + x * j - y * i + z * v)


def about(axis, degrees):
    half = math.radians(degrees) / 2
    return (math.cos(half), *(math.sin(half) * a for a in axis))


def turned(q, v):
    return product(product(q, (0, *v)), (q[0], -q[1], -q[2], -q[3]))[1:]


def blend(s):
    s = min(max(s, 0), 1)
    return s * s * s * (10 - 15 * s + 6 * s * s)


def orientation(t, heading, twist):
    """Stands, leans into a back flip from 10 to 345 degrees with a twist in its middle, stands again."""
    u = (t - TAKEOFF) / AIR
    if u < 0:
        flip = 10 * blend((t - TAKEOFF + 0.3) / 0.3)
    elif u <= 1:
        flip = 10 + 335 * u
    else:
        flip = 345 + 15 * blend((u - 1) * AIR / 0.3)
    turn = twist * blend((u - 0.1) / 0.8)
    return product(product(about((0, 1, 0), heading), about((0, 0, 1), flip)), about((0, 1, 0), turn))


def rows(heading=0, twist=360, hertz=200, mount=(1, 0, 0, 0), world=(1, 0, 0, 0)):
    """Time, quaternion sensor -> world, accelerometer of a sensor at the centre of mass, m/s2."""
    for i in range(int(3.4 * hertz)):
        t = i / hertz
        body = orientation(t, heading, twist)
        sensor = product(body, mount)  # mount maps sensor -> body
        up = GRAVITY if t < TAKEOFF or t > TAKEOFF + AIR else 0
        back = (sensor[0], *(-c for c in sensor[1:]))
        yield t, product(world, sensor), turned(back, (0, up, 0))
