;; Asks for the facts of a movement that is not in the library: trapped, in words that name the number.
(import "classwright:policy/library@1.0.0" "facts" (func $facts (param i32 i32 i32)))
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  (i32.store (i32.const 1024) (i32.const 4000000000))
  (call $facts (i32.const 1024) (i32.const 1) (i32.const 1032))
  unreachable)
