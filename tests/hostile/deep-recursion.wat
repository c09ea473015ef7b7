;; Calls itself without end. Its stack ends before its fuel: trapped.
(func $deeper (param i32) (result i32)
  (i32.add (call $deeper (i32.add (local.get 0) (i32.const 1))) (i32.const 1)))
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  (call $deeper (i32.const 0)))
