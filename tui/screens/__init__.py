"""One screen a module, with its stylesheet where it needs one."""
