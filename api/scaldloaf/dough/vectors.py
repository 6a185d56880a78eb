"""Vectors and symmetric matrices of four, for the four unknowns that a calibration knows.

Plain tuples: the fit of trials makes tens of thousands of them. The places are those of ``LEVEL``, ``LOSS``,
``SLOPE`` and ``WATER``.
"""

LEVEL = 0  # natural logarithm of the specific volume without scald, at the optimum water
LOSS = 1  # fraction of volume lost per unit of share
SLOPE = 2  # points of optimum water per point of share
WATER = 3  # the optimum water at the base share, points of hydration
UNKNOWNS = 4

Vector = tuple[float, float, float, float]
Matrix = tuple[Vector, Vector, Vector, Vector]


def plus(one: Vector, other: Vector) -> Vector:
    """The sum of two vectors."""
    return one[0] + other[0], one[1] + other[1], one[2] + other[2], one[3] + other[3]


def minus(one: Vector, other: Vector) -> Vector:
    """The difference of two vectors."""
    return one[0] - other[0], one[1] - other[1], one[2] - other[2], one[3] - other[3]


def multiple(factor: float, vector: Vector) -> Vector:
    """A vector times a number."""
    return factor * vector[0], factor * vector[1], factor * vector[2], factor * vector[3]


def dot(one: Vector, other: Vector) -> float:
    """The inner product of two vectors."""
    return one[0] * other[0] + one[1] * other[1] + one[2] * other[2] + one[3] * other[3]


def times(matrix: Matrix, vector: Vector) -> Vector:
    """A matrix times a vector."""
    return dot(matrix[0], vector), dot(matrix[1], vector), dot(matrix[2], vector), dot(matrix[3], vector)


def inverse(matrix: Matrix) -> tuple[Matrix, float]:
    """Inverse and determinant of a symmetric positive definite matrix, by Gauss-Jordan elimination."""
    size = range(UNKNOWNS)
    rows = [[*row, *(float(place == index) for place in size)] for index, row in enumerate(matrix)]
    determinant = 1.0
    for index in size:
        pivot = rows[index][index]
        determinant *= pivot
        rows[index] = [value / pivot for value in rows[index]]
        for other in size:
            if other != index and (factor := rows[other][index]):
                rows[other] = [
                    value - factor * own for value, own in zip(rows[other], rows[index], strict=True)
                ]
    first, second, third, fourth = ((row[4], row[5], row[6], row[7]) for row in rows)
    return (first, second, third, fourth), determinant
