/* The floor every figure is a multiple of: a trivial dynamic program. */
#include <stdio.h>

int main(void) { return puts("floor") < 0; }
