"""Vectors and symmetric matrices of three, for the three unknowns that a calibration knows.

Plain tuples: the fit of trials makes tens of thousands of them. The places are those of ``LEVEL``, ``LOSS``
and ``SLOPE``.
"""

LEVEL = 0  # natural logarithm of the specific volume without scald, at the optimum water
LOSS = 1  # fraction of volume lost per unit of share
SLOPE = 2  # points of optimum water per point of share

Vector = tuple[float, float, float]
Matrix = tuple[Vector, Vector, Vector]


def plus(one: Vector, other: Vector) -> Vector:
    """The sum of two vectors."""
    return one[0] + other[0], one[1] + other[1], one[2] + other[2]


def minus(one: Vector, other: Vector) -> Vector:
    """The difference of two vectors."""
    return one[0] - other[0], one[1] - other[1], one[2] - other[2]


def multiple(factor: float, vector: Vector) -> Vector:
    """A vector times a number."""
    return factor * vector[0], factor * vector[1], factor * vector[2]


def dot(one: Vector, other: Vector) -> float:
    """The inner product of two vectors."""
    return one[0] * other[0] + one[1] * other[1] + one[2] * other[2]


def times(matrix: Matrix, vector: Vector) -> Vector:
    """A matrix times a vector."""
    return dot(matrix[0], vector), dot(matrix[1], vector), dot(matrix[2], vector)


def inverse(matrix: Matrix) -> tuple[Matrix, float]:
    """Inverse and determinant of a symmetric positive definite matrix, by cofactors."""
    (a, d, e), (_, b, f), (_, _, c) = matrix
    minors = (
        (b * c - f * f, e * f - c * d, d * f - b * e),
        (e * f - c * d, a * c - e * e, d * e - a * f),
        (d * f - b * e, d * e - a * f, a * b - d * d),
    )
    determinant = a * minors[0][0] + d * minors[0][1] + e * minors[0][2]
    first, second, third = ((x / determinant, y / determinant, z / determinant) for x, y, z in minors)
    return (first, second, third), determinant
