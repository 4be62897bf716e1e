"""Peer of bench_monte_carlo: the same swaps with NumPy, array by array, on one core.

Arguments: draws, relative position of the unit's end (frame or arm), of the rocker's pivot and of the rod's
end with their coordinates, spread, side, sine of the droop to begin at, then the 20 inputs and their standard
uncertainties. Prints seconds of processor, and mean and standard deviation of both outputs.
"""
import sys
import time

import numpy as np

words = iter(sys.argv[1:])
draws = int(next(words))


def pin():
    return next(words), float(next(words)), float(next(words))


def carried(joint, x=None, z=None):
    """Frame part and arm part."""
    on, at_x, at_z = joint
    at = (at_x if x is None else x, at_z if z is None else z)
    return (at, (0.0, 0.0)) if on == 'frame' else ((0.0, 0.0), at)


unit_end, pivot, rod_end = pin(), pin(), pin()
spread, side, first_sine = (float(next(words)) for _ in range(3))
nominal = np.array([float(next(words)) for _ in range(20)])
spreads = np.array([float(next(words)) for _ in range(20)])


def minus(a, b):
    return tuple((p[0] - q[0], p[1] - q[1]) for p, q in zip(a, b))


def swap(x):
    (old_length, old_rate, old_free, old_installed, old_gas, new_length, new_rate, new_free, new_gas,
     topped_out, still, rider, raised, scale, arm, rod, a, b, end_x, end_z) = x
    base = minus(carried(pivot), carried(unit_end, end_x, end_z))
    e_base = minus(carried(rod_end), carried(pivot))
    ratio = b / a
    vx, vz = ratio * np.cos(spread), ratio * np.sin(spread)
    a2, rod2 = a * a, rod * rod

    def place(s):
        c = np.sqrt(1.0 - s * s)
        wx, wz = c * base[1][0] - s * base[1][1], s * base[1][0] + c * base[1][1]
        bx, bz = wx + base[0][0], wz + base[0][1]
        ax, az = c * e_base[1][0] - s * e_base[1][1], s * e_base[1][0] + c * e_base[1][1]
        ex, ez = ax + e_base[0][0], az + e_base[0][1]
        square = ex * ex + ez * ez
        inverse = 1.0 / square
        g = 0.5 + (a2 - rod2) * (0.5 * inverse)
        h = side * np.sqrt(a2 * inverse - g * g)
        qx, qz = g * ex - h * ez, g * ez + h * ex
        dx, dz = qx - ex, qz - ez
        per = inverse / h
        rate = (dz * ax - dx * az) * per
        dbx, dbz = -rate * qz + az, rate * qx - ax
        bent = (dbz * ax - dbx * az - (dx * ax + dz * az)
                - rate * (rate * g * square - (az * qz + ax * qx))) * per
        ux, uz = qx * vx - qz * vz, qz * vx + qx * vz
        lx, lz = bx + ux, bz + uz
        byx, byz = -wz - rate * uz, wx + rate * ux
        r2 = rate * rate
        btx, btz = -bent * uz - (wx + r2 * ux), bent * ux - (wz + r2 * uz)
        length = np.sqrt(lx * lx + lz * lz)
        over = 1.0 / length
        slope = (lx * byx + lz * byz) * over
        bend = (byx * byx + byz * byz + lx * btx + lz * btz - slope * slope) * over
        return c, length, slope, bend

    top = first_sine
    for _ in range(2):
        c, length, slope, bend = place(top)
        by = slope / c
        curve = (bend + by * top) / (c * c)
        step = (length - old_length) / by
        top = top - step * (1.0 + 0.5 * curve / by * step)

    def load(s):
        c, length, slope, _ = place(s)
        return (old_rate * (old_free - old_installed + old_length - length) + old_gas) * slope / (arm * c) * scale

    raise_sine = raised / arm
    at_rider = top + (rider - topped_out) / arm
    rider_load = load(at_rider)
    c, length, slope, _ = place(at_rider + raise_sine)
    preload = (rider_load * (arm * c) / slope - new_gas) / new_rate - (new_length - length)
    at_still = top + (still - topped_out) / arm
    moment = load(at_still) * arm
    after = at_still + raise_sine
    for _ in range(3):
        c, length, slope, bend = place(after)
        force = new_rate * (preload + new_length - length) + new_gas
        step = (force * slope - moment * c) / (force * bend - new_rate * slope * slope + moment * after)
        after = after - step * (c + 0.5 * step * after)
    return new_free - preload, (after - at_still) * arm


block = 4000  # its arrays stay in the cache; larger and smaller blocks took longer
random = np.random.default_rng(1)
start = time.process_time()
installed, change = np.empty(draws), np.empty(draws)
for at in range(0, draws, block):
    count = min(block, draws - at)
    x = random.standard_normal((20, count)) * spreads[:, None] + nominal[:, None]
    installed[at:at + count], change[at:at + count] = swap(x)
out = []
for y in (installed, change):
    out += [y.mean(), y.std(ddof=1)]
    y.sort()  # the shortest interval that holds 95 %
    inside = round(0.95 * draws)
    widths = y[inside:] - y[:draws - inside]
    widths.argmin()
print(time.process_time() - start, *out)
