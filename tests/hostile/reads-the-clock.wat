;; Wants to know what time it is, which no policy may: import-refused, naming the clock.
(import "wasi:clocks/monotonic-clock@0.2.0" "now" (func $now (result i64)))
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  (drop (call $now))
  (i32.const 1024))
