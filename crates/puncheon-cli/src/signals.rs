//! Being asked to end.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

/// True from when the program is asked to end. Each signal that asks for it is taken by itself: one
/// that was to be ignored when the program started, as a hang-up under nohup, is ignored.
pub fn heard() -> Arc<AtomicBool> {
    let asked = Arc::new(AtomicBool::new(false));
    #[cfg(unix)]
    for (signal, _) in unix::SIGNALS.iter().filter(|s| !unix::ignored(**s)) {
        // A signal that cannot be taken just ends the program.
        let _ = signal_hook::flag::register(*signal, Arc::clone(&asked));
    }
    #[cfg(not(unix))]
    {
        let told = Arc::clone(&asked);
        let told = move || told.store(true, std::sync::atomic::Ordering::Relaxed);
        let _ = ctrlc::try_set_handler(told);
    }
    asked
}

#[cfg(unix)]
mod unix {
    use std::fs;
    use std::process::{Command, Stdio};

    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};

    /// A signal, with its name for a shell.
    type Signal = (i32, &'static str);

    pub const SIGNALS: [Signal; 3] = [(SIGHUP, "HUP"), (SIGINT, "INT"), (SIGTERM, "TERM")];

    pub fn ignored(signal: Signal) -> bool {
        listed(signal).unwrap_or_else(|| survived(signal))
    }

    /// What the system lists as ignored, where it lists it.
    fn listed((signal, _): Signal) -> Option<bool> {
        let status = fs::read_to_string("/proc/self/status").ok()?;
        let set = status.lines().find_map(|l| l.strip_prefix("SigIgn:"))?;
        let set = u64::from_str_radix(set.trim(), 16).ok()?;
        Some(set >> (signal - 1) & 1 == 1)
    }

    /// What is ignored stays so in a child, and a child that ignores it lives on.
    fn survived((_, name): Signal) -> bool {
        let child = Command::new("sh")
            .args(["-c", &format!("kill -{name} $$")])
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status();
        child.is_ok_and(|s| s.success())
    }

    #[cfg(test)]
    mod tests {
        use super::*;

        #[test]
        fn both_ways_to_know_agree() {
            for signal in SIGNALS {
                if let Some(listed) = listed(signal) {
                    assert_eq!(listed, survived(signal), "{}", signal.1);
                }
            }
        }
    }
}
