//! Secrets that this host makes: 32 random bytes, so that a plain digest of them is safe to keep.

use crate::AppError;

/// A new secret: 64 hexadecimal digits.
pub(in crate::service) fn secret() -> Result<String, AppError> {
    hex(32)
}

/// A new id: the letter of its kind, and ten random hexadecimal digits.
pub(in crate::service) fn id(kind: char) -> Result<String, AppError> {
    Ok(format!("{kind}-{}", hex(5)?))
}

fn hex(bytes: usize) -> Result<String, AppError> {
    let mut random = vec![0; bytes];
    getrandom::fill(&mut random)
        .map_err(|error| AppError::Fault(format!("the system gives no random numbers: {error}")))?;
    Ok(random.iter().map(|byte| format!("{byte:02x}")).collect())
}

/// Whether two texts are the same, in a time that tells nothing of where they differ.
pub fn same(one: &str, other: &str) -> bool {
    let differing = one.bytes().zip(other.bytes()).fold(0, |differing, (a, b)| differing | (a ^ b));
    std::hint::black_box(differing) == 0 && one.len() == other.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn secrets_are_long_and_never_the_same() {
        let (one, other) = (secret().unwrap(), secret().unwrap());
        assert!(one.len() == 64 && one != other);
        assert!(same(&one, &one.clone()) && !same(&one, &other));
        assert!(!same(&one, &one[..63]) && !same("", "a"));
    }
}
