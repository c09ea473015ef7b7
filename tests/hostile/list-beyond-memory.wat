;; Its list of changes would end far outside its memory: answer-malformed.
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  (i32.const 1024))
(data (i32.const 1024) "\00\00\00\00" "\00\00\ff\7f" "\02\00\00\00" "\00\00\00\00" "\00\00\00\00")
