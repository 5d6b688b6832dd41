//! The program `puncheon`.
fn main() -> std::process::ExitCode {
    puncheon_cli::main()
}
