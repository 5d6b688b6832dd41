//! The program `puncheon`, built where the tests can find it.
fn main() -> std::process::ExitCode {
    puncheon_cli::main()
}
