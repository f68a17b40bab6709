"""A second, deliberately plain flight of a tree of segments in free fall, to hold `halfturn fly` against.

Written from the definitions alone: positions and velocities of every segment by the chain rule, inertia and angular
momentum as sums over segments, classical Runge-Kutta of 4th order on the quaternion with small equal steps between the
times at which a blend starts or ends. Slow and simple on purpose.
"""
import math

AXES = {"x": (1, 0, 0), "y": (0, 1, 0), "z": (0, 0, 1)}


def add(a, b):
    return [x + y for x, y in zip(a, b)]


def sub(a, b):
    return [x - y for x, y in zip(a, b)]


def scale(k, a):
    return [k * x for x in a]


def dot(a, b):
    return sum(x * y for x, y in zip(a, b))


def cross(a, b):
    return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]


def mul(m, v):
    return [dot(row, v) for row in m]


def matmul(a, b):
    return [[sum(a[i][k] * b[k][j] for k in range(3)) for j in range(3)] for i in range(3)]


def transpose(m):
    return [list(row) for row in zip(*m)]


def rotation(axis, angle):
    """Rodrigues' formula."""
    x, y, z = axis
    c, s = math.cos(angle), math.sin(angle)
    k = 1 - c
    return [[c + k * x * x, k * x * y - s * z, k * x * z + s * y],
            [k * x * y + s * z, c + k * y * y, k * y * z - s * x],
            [k * x * z - s * y, k * y * z + s * x, c + k * z * z]]


def solve3(m, b):
    """Cramer's rule."""
    def det(a):
        return dot(a[0], cross(a[1], a[2]))

    whole = det(m)
    columns = transpose(m)
    result = []
    for i in range(3):
        changed = [list(c) for c in columns]
        changed[i] = list(b)
        result.append(det(transpose(changed)) / whole)
    return result


def quaternion_product(a, b):
    return [a[0] * b[0] - a[1] * b[1] - a[2] * b[2] - a[3] * b[3],
            a[0] * b[1] + a[1] * b[0] + a[2] * b[3] - a[3] * b[2],
            a[0] * b[2] - a[1] * b[3] + a[2] * b[0] + a[3] * b[1],
            a[0] * b[3] + a[1] * b[2] - a[2] * b[1] + a[3] * b[0]]


def to_world(q, v):
    conjugate = [q[0], -q[1], -q[2], -q[3]]
    return quaternion_product(quaternion_product(q, [0, *v]), conjugate)[1:]


def to_body(q, v):
    return to_world([q[0], -q[1], -q[2], -q[3]], v)


def about(axis, angle):
    return [math.cos(angle / 2), *scale(math.sin(angle / 2), AXES[axis])]


class Flight:
    def __init__(self, body, motion):
        self.segments = body["segments"]
        self.names = [s["name"] for s in self.segments]
        self.reference = self.names.index(body["reference_segment"])
        self.joints = motion.get("joints_deg", {})
        self.duration = motion["duration_s"]
        self.hz = motion["output_hz"]
        t = {k: math.radians(v) for k, v in motion["takeoff"].items()}
        q = about("y", t["heading_deg"])
        for axis, key in (("z", "somersault_deg"), ("x", "tilt_deg"), ("y", "twist_deg")):
            q = quaternion_product(q, about(axis, t[key]))
        self.q0 = q
        if "angular_momentum_world_kgm2_s" in motion:
            self.momentum = motion["angular_momentum_world_kgm2_s"]
        else:
            inertia, internal = self.mass_properties(0)
            omega = scale(math.pi / 180, motion["angular_velocity_body_deg_s"])
            self.momentum = to_world(q, add(mul(inertia, omega), internal))

    def angle(self, segment, axis, t):
        """Angle and rate, rad: key frames joined by 10 s^3 - 15 s^4 + 6 s^5."""
        keys = self.joints.get(segment, {}).get(axis, [])
        if not keys:
            return 0.0, 0.0
        if t <= keys[0][0]:
            return math.radians(keys[0][1]), 0.0
        if t >= keys[-1][0]:
            return math.radians(keys[-1][1]), 0.0
        for (t0, a0), (t1, a1) in zip(keys, keys[1:]):
            if t0 <= t < t1:
                s = (t - t0) / (t1 - t0)
                blend = 10 * s**3 - 15 * s**4 + 6 * s**5
                rate = (30 * s**2 - 60 * s**3 + 30 * s**4) / (t1 - t0)
                return math.radians(a0 + (a1 - a0) * blend), math.radians((a1 - a0) * rate)
        raise AssertionError

    def mass_properties(self, t):
        """Inertia about the centre of mass and angular momentum relative to the reference segment, in its axes."""
        turned, omega, origin, velocity = [], [], [], []
        for segment in self.segments:
            if segment["parent"] is None:
                turned.append(rotation((1, 0, 0), 0))
                omega.append([0, 0, 0])
                origin.append([0, 0, 0])
                velocity.append([0, 0, 0])
                continue
            p = self.names.index(segment["parent"])
            r, w = turned[p], omega[p]
            for axis in segment["axes"]:
                angle, rate = self.angle(segment["name"], axis, t)
                w = add(w, scale(rate, mul(r, AXES[axis])))
                r = matmul(r, rotation(AXES[axis], angle))
            arm = mul(turned[p], segment["joint_centre_in_parent_m"])
            turned.append(r)
            omega.append(w)
            origin.append(add(origin[p], arm))
            velocity.append(add(velocity[p], cross(omega[p], arm)))
        reference = transpose(turned[self.reference])
        w0, p0, v0 = omega[self.reference], origin[self.reference], velocity[self.reference]
        masses, places, speeds, spins, tensors = [], [], [], [], []
        for segment, r, w, p, v in zip(self.segments, turned, omega, origin, velocity):
            com = mul(r, segment["com_m"])
            place = add(p, com)
            speed = add(v, cross(w, com))
            masses.append(segment["mass_kg"])
            places.append(mul(reference, sub(place, p0)))
            speeds.append(mul(reference, sub(sub(speed, v0), cross(w0, sub(place, p0)))))
            spins.append(mul(reference, sub(w, w0)))
            local = matmul(reference, r)
            tensors.append(matmul(matmul(local, segment["inertia_about_com_kgm2"]), transpose(local)))
        total = sum(masses)
        centre = [sum(m * p[i] for m, p in zip(masses, places)) / total for i in range(3)]
        drift = [sum(m * v[i] for m, v in zip(masses, speeds)) / total for i in range(3)]
        inertia = [[0.0] * 3 for _ in range(3)]
        internal = [0.0] * 3
        for m, p, v, w, tensor in zip(masses, places, speeds, spins, tensors):
            d = sub(p, centre)
            for i in range(3):
                for j in range(3):
                    inertia[i][j] += tensor[i][j] + m * ((dot(d, d) if i == j else 0) - d[i] * d[j])
            internal = add(internal, add(mul(tensor, w), scale(m, cross(d, sub(v, drift)))))
        return inertia, internal

    def omega(self, t, q):
        inertia, internal = self.mass_properties(t)
        return solve3(inertia, sub(to_body(q, self.momentum), internal))

    def rows(self, step):
        """(t, q, omega) at every output; Runge-Kutta steps of at most `step`, ending at outputs and key times."""
        def rate(t, q):
            return scale(0.5, quaternion_product(q, [0, *self.omega(t, q)]))

        stops = {k / self.hz for k in range(int(round(self.duration * self.hz)) + 1)}
        outputs = sorted(t for t in stops if t <= self.duration + 1e-12)
        for axes in self.joints.values():
            for keys in axes.values():
                stops |= {t for t, _ in keys if 0 < t < self.duration}
        q, t = list(self.q0), 0.0
        result = [(0.0, q, self.omega(0, q))]
        for stop in sorted(s for s in stops if 0 < s <= self.duration + 1e-12):
            n = max(1, math.ceil((stop - t) / step))
            h = (stop - t) / n
            for i in range(n):
                at = t + i * h
                # The end of a step may lie at a key time: stay on this side of it.
                k1 = rate(at, q)
                k2 = rate(at + h / 2, add(q, scale(h / 2, k1)))
                k3 = rate(at + h / 2, add(q, scale(h / 2, k2)))
                k4 = rate(at + h, add(q, scale(h, k3)))
                q = add(q, scale(h / 6, add(add(k1, k4), scale(2, add(k2, k3)))))
                norm = math.sqrt(dot(q, q))
                q = scale(1 / norm, q)
            t = stop
            if stop in outputs:
                result.append((stop, q, self.omega(stop, q)))
        return result


def angle_between(a, b):
    conjugate = [a[0], -a[1], -a[2], -a[3]]
    d = quaternion_product(conjugate, b)
    return 2 * math.atan2(math.sqrt(dot(d[1:], d[1:])), abs(d[0]))
