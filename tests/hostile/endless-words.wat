;; Talks without end. What it says is paid for in fuel, and only the end of it would be kept: out-of-fuel.
(import "classwright:policy/last-words@1.0.0" "say" (func $say (param i32 i32)))
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  (loop $again
    (call $say (i32.const 1024) (i32.const 4000))
    (br $again))
  unreachable)
