//! Linear equations, and those of least squares.

/// The matrix of the normal equations.
pub(super) fn normal(slopes: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let n = slopes.first().map_or(0, Vec::len);
    let entry = |i: usize, j: usize| slopes.iter().map(|row| row[i] * row[j]).sum::<f64>();
    (0..n).map(|i| (0..n).map(|j| entry(i, j)).collect()).collect()
}

/// The solution of linear equations; the column without a pivot when there is none.
pub(super) fn solved(mut matrix: Vec<Vec<f64>>, mut right: Vec<f64>) -> Result<Vec<f64>, usize> {
    let n = right.len();
    for column in 0..n {
        let pivot = (column..n)
            .max_by(|a, b| matrix[*a][column].abs().total_cmp(&matrix[*b][column].abs()))
            .unwrap_or(column);
        if matrix[pivot][column].abs() < SMALLEST_PIVOT {
            return Err(column);
        }
        matrix.swap(column, pivot);
        right.swap(column, pivot);
        for i in column + 1..n {
            let share = matrix[i][column] / matrix[column][column];
            let (upper, lower) = matrix.split_at_mut(i);
            for (x, y) in lower[0][column..].iter_mut().zip(&upper[column][column..]) {
                *x -= share * y;
            }
            right[i] -= share * right[column];
        }
    }
    for i in (0..n).rev() {
        let known: f64 = (i + 1..n).map(|j| matrix[i][j] * right[j]).sum();
        right[i] = (right[i] - known) / matrix[i][i];
    }
    Ok(right)
}

/// A smaller pivot leaves a point loose: 1 mm of a measurement would move it by a metre.
const SMALLEST_PIVOT: f64 = 1e-6;
