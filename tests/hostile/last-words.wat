;; Says why and stops, as a panic does: trapped, with its words kept.
(import "classwright:policy/last-words@1.0.0" "say" (func $say (param i32 i32)))
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  (call $say (i32.const 1024) (i32.const 36))
  unreachable)
(data (i32.const 1024) "rules.rs:12: a set without a loading")
