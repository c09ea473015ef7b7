;; What every policy of these tests has where it has none of its own: memory, and an allocator that only goes up.
;; Questions arrive from 131072 on.
(memory (export "memory") 4)
(global $free (mut i32) (i32.const 131072))
(func (export "cabi_realloc") (param i32 i32 i32 i32) (result i32)
  (local $at i32)
  (local.set $at (i32.and (i32.add (global.get $free) (i32.const 7)) (i32.const -8)))
  (global.set $free (i32.add (local.get $at) (local.get 3)))
  (block $enough
    (loop $more
      (br_if $enough (i32.le_u (global.get $free) (i32.mul (memory.size) (i32.const 65536))))
      (drop (memory.grow (i32.const 1)))
      (br $more)))
  (local.get $at))
