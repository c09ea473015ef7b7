;; Few enough bytes, and more changes than the question has pieces: answer-too-large.
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  (i32.const 1024))
(data (i32.const 1024) "\00\00\00\00" "\00\10\00\00" "\0d\00\00\00" "\00\00\00\00" "\00\00\00\00")
