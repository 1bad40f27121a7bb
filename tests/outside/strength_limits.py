"""What AISC 360-22 allows: sections of plates, eyes, bolts, fillets. N, mm, MPa; already over Ω."""

import math

import numpy as np

FY, FU, E = 235.0, 360.0, 210e3
KSI = 6.894757293
FEXX = 70 * KSI
YIELD, SHEAR, RUPTURE = 1.67, 1.5, 2.0
BOLT = 800.0  # tensile strength of the grade 8.8


def compression(width, thick, length):
    """E3 with K 2.1: free at one end."""
    slender = 2.1 * length / (thick / math.sqrt(12))
    stress = FY
    if slender > 25:  # J4.4
        euler = math.pi**2 * E / slender**2
        stress = 0.658 ** (FY / euler) * FY if FY / euler <= 2.25 else 0.877 * euler
    return stress * width * thick / YIELD


def in_plane(plastic, elastic, depth, thick, length):
    """F11-1 to F11-4, Cb 1."""
    slender = length * depth / thick**2
    most = min(plastic, 1.6 * elastic) * FY
    if slender <= 0.08 * E / FY:
        return most / YIELD
    if slender <= 1.9 * E / FY:
        return min(most, (1.52 - 0.274 * slender * FY / E) * FY * elastic) / YIELD
    return min(most, 1.9 * E / slender * elastic) / YIELD


def out_of_plane(width, thick):
    return FY * width * thick**2 / 4 / YIELD


def torsion(width, thick):
    """H3-8 with the plastic constant of a rectangle."""
    thin, wide = min(width, thick), max(width, thick)
    return 0.6 * FY * thin**2 / 2 * (wide - thin / 3) / YIELD


def tension(width, thick):
    return FY * width * thick / YIELD


def shear(width, thick):
    return 0.6 * FY * width * thick / SHEAR


def straight(direct, sideways):
    """H1 as a linear sum, with the square of H3-6: how many times the load."""
    total = direct + np.sqrt(direct**2 + 4 * sideways**2)
    return 2 / total if total > 0 else math.inf


def slanted(bent, pulled, sideways):
    """AISC manual part 9: M/Mc + (N/Nc)² + (V/Vc)⁴ = 1."""
    shares = [share for share in (bent, pulled, sideways) if share > 1e-15]
    if not shares:
        return math.inf
    low, high = 0.0, min(1 / share for share in shares)
    for _ in range(50):
        times = (low + high) / 2
        over = bent * times + (pulled * times) ** 2 + (sideways * times) ** 4 > 1
        low, high = (low, times) if over else (times, high)
    return low


# At a hole


def bearing_of_bolt(bolt, thick):
    return 2.4 * bolt * thick * FU / RUPTURE  # J3-6a


def tear_out(clear, thick):
    return 1.2 * clear * thick * FU / RUPTURE  # J3-6c


def bearing_of_pin(pin, thick):
    return 1.8 * FY * pin * thick / RUPTURE  # J7-1


def eye_tension(beside, thick):
    return FU * 2 * thick * min(2 * thick + 16, beside) / RUPTURE  # D5-1


def eye_shear(beyond, pin, thick):
    return 0.6 * FU * 2 * thick * (beyond + pin / 2) / RUPTURE  # D5-2


def bolt_alone(diameter, shear_force, pull):
    """J3-1, J3-3: how many times the load; threads in the shear plane."""
    area = math.pi * diameter**2 / 4
    in_shear, in_tension = 0.45 * BOLT, 0.75 * BOLT
    found = math.inf
    if shear_force > 1e-12:
        found = in_shear * area / RUPTURE / shear_force
    if pull > 1e-12:
        found = min(found, in_tension * area / RUPTURE / pull)
        if shear_force > 1e-12:
            # J3-3b: 1.3 Fnt - Ω Fnt / Fnv frv, over Ω, is the tension that is left.
            left = 1.3 * in_tension * area / RUPTURE
            found = min(found, left / (pull + in_tension / in_shear * shear_force))
    return found


def fillet(leg):
    return 0.6 * FEXX * 0.707 * leg / RUPTURE
