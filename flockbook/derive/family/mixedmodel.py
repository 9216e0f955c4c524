"""The arithmetic of breeding values: Henderson's mixed model equations, set up sparse and solved exactly.

numpy and scipy are the optional `merit` extra, so they are loaded inside the functions that need them; `installed` says
whether they are there. Variances count in units of the residual variance.

Source of the equations: Mrode, Linear Models for the Prediction of Animal Breeding Values, ch. 3 and 4.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from importlib import import_module
from typing import Any

from compiler.shape import Value
from flockbook.derive.family.kinship import Pedigree, inverse_relationship

Matrix = Any  # a numpy array or a scipy sparse array

# A column whose part outside the earlier columns is shorter than this share of it is their sum: common practice, far
# above rounding and far below one record in a hundred thousand.
INDEPENDENT = 1e-6
# Columns of the inverse worked out at once: bounds memory to this many times the number of animals; from measuring.
BLOCK = 256


class Observations(Value):
    """What was measured: fixed effects (records × effects, full column rank), whose record it is, its value."""

    fixed: Matrix
    owners: Sequence[int]
    values: Sequence[float]


class Variances(Value):
    """`ratio`: residual over additive variance; `lasting`: permanent environment over residual variance, or 0."""

    ratio: float
    lasting: float


class Solution(Value):
    """Fixed effects; each animal's breeding value; its prediction error variance over the additive variance.

    `additive` is the additive variance in the trait's unit squared: what the records themselves say of it, the ratio of
    the variances being given (residual sum of squares over degrees of freedom); None without a degree of freedom.
    `freedom` is that number: records less fixed effects.
    """

    fixed: tuple[float, ...]
    values: tuple[float, ...]
    errors: tuple[float, ...]
    additive: float | None
    freedom: int


def installed() -> bool:
    """Whether numpy and scipy can be loaded."""
    try:
        import_module("scipy.sparse.linalg")
    except ImportError:
        return False
    return True


def indicators(cells: Sequence[Sequence[int]], columns: int) -> Matrix:
    """A matrix with a row per record: 1 in the columns listed for it, 0 elsewhere."""
    import numpy as np

    matrix = np.zeros((len(cells), columns))
    for row, ones in enumerate(cells):
        matrix[row, list(ones)] = 1.0
    return matrix


def dependent_columns(matrix: Matrix) -> dict[int, tuple[int, ...]]:
    """Columns that are sums of columns before them (or nothing but 0), each with the columns it is made of."""
    import numpy as np

    basis, free, found = np.zeros_like(matrix), list[int](), dict[int, tuple[int, ...]]()
    for j, column in enumerate(matrix.T):
        known = basis[:, : len(free)]
        rest = column - known @ (known.T @ column)
        rest -= known @ (known.T @ rest)  # once more: takes away what rounding left
        if np.linalg.norm(rest) > INDEPENDENT * np.linalg.norm(column):
            basis[:, len(free)] = rest / np.linalg.norm(rest)
            free.append(j)
        else:
            parts = np.linalg.lstsq(matrix[:, free], column)[0]
            found[j] = tuple(k for k, part in zip(free, parts, strict=True) if abs(part) > INDEPENDENT)
    return found


def solve(pedigree: Pedigree, inbred: Mapping[str, float], observed: Observations, variances: Variances) -> Solution:
    """Best linear unbiased estimates and predictions, with exact prediction errors; `inbred` is F by id.

    Animals without offspring touch nobody but their parents, so they are eliminated by hand first; what is left is
    factorised sparse, and the diagonal of the inverse comes from it in blocks of columns. Memory grows with the number
    of animals. Needs numpy and scipy.
    """
    from scipy.sparse.linalg import splu

    left, right, total = _equations(pedigree, inbred, observed, variances)
    fixed = observed.fixed.shape[1]
    spread, alone = _eliminated(left, _childless(pedigree) + fixed)
    factor = splu((spread.T @ left @ spread).tocsc(), "MMD_AT_PLUS_A", diag_pivot_thresh=0.0)
    solved = spread @ factor.solve(spread.T @ right) + alone * right
    errors = (_quadratic(factor, spread) + alone)[fixed:] * variances.ratio
    freedom = len(observed.owners) - fixed
    residual = _residual(total - float(right @ solved), freedom)
    additive = None if residual is None else residual / variances.ratio
    values = tuple(solved[fixed:].tolist())
    return Solution(tuple(solved[:fixed].tolist()), values, tuple(errors.tolist()), additive, freedom)


def quantile(freedom: int, share: float) -> float:
    """The point of Student's t distribution below which a share lies. Needs scipy."""
    from scipy.special import stdtrit

    return float(stdtrit(freedom, share))


def _residual(squares: float, freedom: int) -> float | None:
    """The residual variance from what the model leaves over of the sum of squares; None where nothing can be left."""
    return squares / freedom if freedom > 0 and squares > 0 else None


def _equations(
    pedigree: Pedigree, inbred: Mapping[str, float], observed: Observations, variances: Variances
) -> tuple[Matrix, Matrix, float]:
    """Left and right sides, fixed effects first, and the sum of squares; what is lasting in an animal is absorbed into
    its records' weights.
    """
    import numpy as np
    from scipy.sparse import block_diag, coo_array, csr_array, diags_array, eye_array, hstack

    records, animals = len(observed.owners), len(pedigree.ids)
    rows, columns, entries = zip(*inverse_relationship(pedigree, inbred), strict=True)
    inverse = coo_array((entries, (rows, columns)), shape=(animals, animals))
    owned = csr_array((np.ones(records), (np.arange(records), observed.owners)), shape=(records, animals))
    shared = variances.lasting / (1 + owned.sum(axis=0) * variances.lasting)
    weights = eye_array(records) - owned @ diags_array(shared) @ owned.T
    effects = hstack([csr_array(observed.fixed), owned])
    nothing = csr_array((observed.fixed.shape[1],) * 2)
    left = effects.T @ weights @ effects + block_diag([nothing, inverse * variances.ratio])
    values = np.array(observed.values)
    return left.tocsr(), effects.T @ (weights @ values), float(values @ (weights @ values))


def _childless(pedigree: Pedigree) -> Matrix:
    import numpy as np

    return np.setdiff1d(np.arange(len(pedigree.ids)), [*pedigree.sires, *pedigree.dams])


def _eliminated(left: Matrix, last: Matrix) -> tuple[Matrix, Matrix]:
    """Take out unknowns that have nothing to do with one another, `last`, from equations with the matrix `left`.

    Returns `spread` (unknowns × unknowns left over) and `alone` (0 but for the unknowns taken out): the solution is
    spread · (spread' left spread)⁻¹ spread' right + alone · right, the inverse likewise with alone on its diagonal.
    """
    import numpy as np
    from scipy.sparse import csr_array, diags_array

    size = left.shape[0]
    alone = np.zeros(size)
    alone[last] = 1 / left.diagonal()[last]
    core = np.setdiff1d(np.arange(size), last)
    pick = csr_array((np.ones(len(core)), (core, np.arange(len(core)))), shape=(size, len(core)))
    return pick - diags_array(alone) @ left @ pick, alone


def _quadratic(factor: Matrix, rows: Matrix) -> Matrix:
    """The diagonal of rows · (the factorised matrix)⁻¹ · rows', a block of columns of the inverse at a time."""
    import numpy as np

    total, size = np.zeros(rows.shape[0]), rows.shape[1]
    for start in range(0, size, BLOCK):
        inverse = factor.solve(np.eye(size, min(BLOCK, size - start), -start))
        total += (rows[:, start : start + BLOCK] * (rows @ inverse)).sum(axis=1)
    return total
