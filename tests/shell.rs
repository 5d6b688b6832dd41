//! What the shell is given: words to complete, asked for as a shell asks, and manual pages.

use std::process::Command;

use puncheon_tests::{run, run_with};

const PUNCHEON: &str = env!("CARGO_BIN_EXE_puncheon-under-test");

/// Words that would complete the last of these.
fn offered(words: &[&str]) -> Vec<String> {
    let at = (words.len() - 1).to_string();
    let args = [&["--"], words].concat();
    let vars = [("PUNCHEON_COMPLETE", "bash"), ("_CLAP_IFS", "\n"), ("_CLAP_COMPLETE_INDEX", &at)];
    let ran = run_with(PUNCHEON, &args, "", &vars);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{words:?}");
    ran.out.lines().map(str::to_string).collect()
}

#[test]
fn words_of_the_trade_are_completed() {
    let anchors = offered(&["puncheon", "read", "anch"]);
    assert_eq!(anchors[0], "anchor");
    assert!(anchors.iter().all(|w| w.starts_with("anchor")), "{anchors:?}");
    // Within quotes the description is one word of the shell's.
    assert_eq!(offered(&["puncheon", "read", "anchor, lion pas"])[0], "anchor, lion passant");
    assert!(offered(&["puncheon", "ask", "wheatsh"]).contains(&"wheatsheaves".to_string()));
    // A word that is whole may go on as a phrase, and may be left as it is.
    let lions = offered(&["puncheon", "read", "lion"]);
    assert!(lions.contains(&"lion".to_string()), "{lions:?}");
    assert!(lions.contains(&"lion passant".to_string()), "{lions:?}");
    assert_eq!(
        offered(&["puncheon", "read", "anchor, lion passant g"])[0],
        "anchor, lion passant guardant"
    );
    assert_eq!(offered(&["puncheon", "read", "--office", "bir"]), ["birmingham"]);
    assert_eq!(
        offered(&["puncheon", "enrich", "a.csv", "--add", "outcome,best_"]),
        ["outcome,best_office", "outcome,best_shown"]
    );
    assert!(offered(&["puncheon", "re"]).contains(&"read".to_string()));
    assert!(offered(&["puncheon", "read", "qqq"]).is_empty());
    // What is only for maintenance is not offered.
    assert!(!offered(&["puncheon", ""]).contains(&"sample-catalogue".to_string()));
}

#[test]
fn each_shell_has_a_script() {
    for shell in ["bash", "zsh", "fish", "powershell"] {
        let ran = run(PUNCHEON, &["completions", shell], "");
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{shell}");
        assert!(ran.out.contains("PUNCHEON_COMPLETE"), "{shell}: {}", ran.out);
    }
    let ran = run(PUNCHEON, &["completions", "tcsh"], "");
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("bash, zsh, fish, powershell"), "{}", ran.err);
}

/// A real bash sources the script and completes by it.
#[cfg(unix)]
#[test]
fn bash_completes_by_its_script() {
    let dir = tempfile::tempdir().expect("a folder");
    std::os::unix::fs::symlink(PUNCHEON, dir.path().join("puncheon")).expect("linked");
    let path = format!("{}:{}", dir.path().display(), std::env::var("PATH").unwrap_or_default());
    let script = "
        source <(puncheon completions bash)
        COMP_WORDS=(puncheon read anch) COMP_CWORD=2 COMP_TYPE=9
        _clap_complete_puncheon puncheon anch read
        printf '%s\\n' \"${COMPREPLY[@]}\"";
    let ran = match Command::new("bash").args(["-c", script]).env("PATH", path).output() {
        Ok(ran) => ran,
        // A machine without bash has nobody to try it for.
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return,
        Err(e) => panic!("{e}"),
    };
    let said = String::from_utf8_lossy(&ran.stdout);
    assert_eq!(said.lines().next(), Some("anchor"), "{}", String::from_utf8_lossy(&ran.stderr));
}

#[test]
fn manual_pages_are_printed() {
    let page = |args: &[&str]| {
        let ran = run(PUNCHEON, &[&["man"], args].concat(), "");
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{args:?}");
        ran.out
    };
    let top = page(&[]);
    for command in ["read", "ask", "check", "expect", "enrich", "why", "tables"] {
        assert!(top.contains(&format!("puncheon\\-{command}(1)")), "{command}");
        let own = page(&[command]);
        assert!(own.contains(&format!(".TH puncheon-{command} 1")), "{own}");
        assert!(own.contains(".SH OPTIONS"), "{own}");
    }
    assert!(!top.contains("sample"), "{top}");
    let ran = run(PUNCHEON, &["man", "sing"], "");
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("the commands are read, ask,"), "{}", ran.err);
}
