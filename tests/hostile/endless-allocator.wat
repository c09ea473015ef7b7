;; Loops while the host hands the question over, in `cabi_realloc`, before the rule itself is called: out-of-fuel.
(memory (export "memory") 1)
(func (export "cabi_realloc") (param i32 i32 i32 i32) (result i32)
  (loop $again (br $again))
  unreachable)
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  unreachable)
