;; Its `cabi_realloc` points outside its own memory. The host does not write there: answer-malformed.
(memory (export "memory") 1)
(func (export "cabi_realloc") (param i32 i32 i32 i32) (result i32)
  (i32.const -16))
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  unreachable)
