//! A new step of the schema is a new file, which the compiler does not see by itself.
fn main() {
    println!("cargo:rerun-if-changed=migrations");
}
