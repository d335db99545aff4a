# Selvage. make: the command, build/selvage; make check: every test. See README.md for set-up.

BUILD    ?= build
CC       ?= cc
PYTHON   ?= /usr/bin/python3
PREFIX   ?= /usr/local
CFLAGS   ?= -O3 -g
WARNINGS  = -std=c11 -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Werror
SANITIZE ?=
LIBS      = -l:libyajl_s.a -lm

# libcgraph is loaded by the one verb that needs it; its name is that of the library built against.
CGRAPH   := $(shell objdump -p "`$(CC) -print-file-name=libcgraph.so`" | sed -n 's/.*SONAME *//p')

# So is LAPACK, by what works out the mechanics of a job.
LAPACK   := $(shell objdump -p "`$(CC) -print-file-name=liblapack.so`" | sed -n 's/.*SONAME *//p')

GEN   = $(BUILD)/gen
FLAGS = $(WARNINGS) $(CFLAGS) $(SANITIZE) -Isrc -Igrammar -I$(GEN) -MMD -MP \
        -DCGRAPH_LIBRARY='"$(CGRAPH)"' -DLAPACK_LIBRARY='"$(LAPACK)"'

# The library is everything but the command; the command may use nothing but selvage.h.
LIB_SOURCES = $(filter-out src/main.c $(wildcard src/cli/*.c),$(wildcard src/*.c src/*/*.c))
CLI_SOURCES = src/main.c $(wildcard src/cli/*.c)
GENERATED   = $(GEN)/selvage.tab.c $(GEN)/selvage.lex.c
LIB_OBJECTS = $(LIB_SOURCES:%.c=$(BUILD)/%.o) $(GENERATED:.c=.o)
CLI_OBJECTS = $(CLI_SOURCES:%.c=$(BUILD)/%.o)
UNIT_TESTS  = $(patsubst tests/unit/%.c,$(BUILD)/unit/%,$(wildcard tests/unit/*.c))

.DELETE_ON_ERROR:
.PHONY: all check check-unit check-corpus check-scripts asan valgrind mutants hostile fuzz fuzz-run bench sarif-schema axe \
        install clean
all: $(BUILD)/selvage

# ---- what is generated ----

WORD = s/^WORD(\([A-Z_]*\), "\(.*\)")$$/

$(GEN)/selvage.y: grammar/selvage.y grammar/keywords.def
	@mkdir -p $(GEN)
	sed -n '$(WORD)%token \1 "\2"/p' grammar/keywords.def > $(GEN)/tokens
	sed -n '$(WORD)| "\2"/p' grammar/keywords.def | sed '1s/|/ /' > $(GEN)/names
	sed -e '/^%keywords/{r $(GEN)/tokens' -e 'd}' -e '/^%keyword-names/{r $(GEN)/names' -e 'd}' \
	  grammar/selvage.y > $@

$(GEN)/selvage.tab.c: $(GEN)/selvage.y
	bison -Wall -Wcounterexamples -Wdangling-alias -Werror --no-lines \
	  -o $@ --header=$(GEN)/selvage.tab.h $<

$(GEN)/selvage.tab.h: $(GEN)/selvage.tab.c ;

$(GEN)/selvage.lex.c: grammar/selvage.l
	@mkdir -p $(GEN)
	flex -CF --noline -o $@ $<

$(GEN)/keywords.inc: grammar/keywords.def
	@mkdir -p $(GEN)
	{ printf '%%struct-type\n%%compare-lengths\n%%readonly-tables\n'; \
	  printf '%%define lookup-function-name keyword_find\n%%define initializer-suffix ,0\n'; \
	  printf 'struct keyword { const char *name; int token; };\n%%%%\n'; \
	  sed -n '$(WORD)\2,TOK_\1/p' $<; } | gperf -L ANSI-C | grep -v '^#line' > $@

# The pages of `selvage explain`; the folder stands here so that a page taken away is noticed.
PAGES = $(wildcard docs/findings/SV-*.md)

$(GEN)/pages.inc: src/report/pages.awk src/report/rules.def docs/findings $(PAGES)
	@mkdir -p $(GEN)
	LC_ALL=C awk -f src/report/pages.awk src/report/rules.def $(PAGES) > $@.new
	mv $@.new $@

# What is built into the pages for a browser: those of a catalogue, and the bench page.
CATALOGUE = $(addprefix src/emit/web/,catalogue.css catalogue.js pattern.js)
WEB = $(filter-out $(CATALOGUE),$(wildcard src/emit/web/*.css src/emit/web/*.js))

$(GEN)/web.inc: src/emit/web/lines.awk src/emit/web $(WEB)
	@mkdir -p $(GEN)
	LC_ALL=C awk -f src/emit/web/lines.awk $(WEB) > $@.new
	mv $@.new $@

$(GEN)/catalogue.inc: src/emit/web/lines.awk $(CATALOGUE)
	@mkdir -p $(GEN)
	LC_ALL=C awk -f src/emit/web/lines.awk $(CATALOGUE) > $@.new
	mv $@.new $@

$(LIB_OBJECTS): | $(GEN)/selvage.tab.h $(GEN)/keywords.inc $(GEN)/pages.inc $(GEN)/web.inc $(GEN)/catalogue.inc

# ---- objects, library, command ----

$(BUILD)/%.o: %.c
	@mkdir -p $(@D)
	$(CC) $(FLAGS) -c $< -o $@

$(GEN)/%.o: $(GEN)/%.c
	$(CC) $(FLAGS) -c $< -o $@

# One object with every name hidden but the public ones, so that a program that embeds the library
# meets no other.
$(BUILD)/libselvage.a: $(LIB_OBJECTS)
	ld -r -o $(BUILD)/selvage.o $^
	objcopy --wildcard --keep-global-symbol='selvage_*' --localize-symbol='selvage_yy*' $(BUILD)/selvage.o
	rm -f $@
	ar rcs $@ $(BUILD)/selvage.o

$(BUILD)/selvage: $(CLI_OBJECTS) $(BUILD)/libselvage.a
	$(CC) $(CFLAGS) $(SANITIZE) -o $@ $^ $(LIBS)

# ---- tests ----

$(BUILD)/unit/%: tests/unit/%.c $(LIB_OBJECTS)
	@mkdir -p $(@D)
	$(CC) $(FLAGS) -Itests -o $@ $< $(LIB_OBJECTS) $(LIBS) -lcmocka

# Every request for memory goes by way of this test, so that it can fail, and every piece that an
# arena gives out is a request.
$(BUILD)/unit/memory: tests/unit/memory.c $(LIB_OBJECTS)
	@mkdir -p $(@D)
	$(CC) $(FLAGS) -DARENA_CHUNK=1 -c src/ground/arena.c -o $(BUILD)/unit/arena-in-pieces.o
	$(CC) $(FLAGS) -Itests -o $@ $< $(filter-out %/ground/arena.o,$(LIB_OBJECTS)) $(BUILD)/unit/arena-in-pieces.o \
	  -Wl,--wrap=malloc,--wrap=calloc,--wrap=realloc,--wrap=free $(LIBS) -lcmocka

check-unit: $(UNIT_TESTS)
	@set -e; for test in $(UNIT_TESTS); do $(RUNNER) $$test; done

$(BUILD)/reference/%: tests/reference/%.c $(LIB_OBJECTS)
	@mkdir -p $(@D)
	$(CC) $(FLAGS) -o $@ $< $(LIB_OBJECTS) $(LIBS)

# Lets requests for memory fail under the command.
$(BUILD)/command/failing.so: tests/command/failing.c
	@mkdir -p $(@D)
	$(CC) $(WARNINGS) -O1 -shared -fPIC -o $@ $<

# Measures what the hostile texts take.
$(BUILD)/hostile/watch: tests/hostile/watch.c
	@mkdir -p $(@D)
	$(CC) $(WARNINGS) -O1 -o $@ $<

check-scripts: $(BUILD)/selvage $(BUILD)/reference/lanes $(BUILD)/reference/hoop $(BUILD)/command/failing.so \
               $(BUILD)/hostile/watch
	$(PYTHON) tests/run.py --selvage $(BUILD)/selvage

# Every small slip of a hand in every shipped pattern; a sample of them is part of check.
mutants: $(BUILD)/selvage
	$(PYTHON) tests/mutants/mutants.py --selvage $(BUILD)/selvage

# Texts made to take time or memory, with the figures of each; check runs them too, most of them smaller.
hostile: $(BUILD)/selvage $(BUILD)/hostile/watch
	$(PYTHON) tests/hostile/hostile.py --selvage $(BUILD)/selvage

# The texts that fuzzing has found worth keeping, run once; any compiler will do.
FUZZ_TARGETS = findings outputs layout

$(BUILD)/fuzz/%: tests/fuzz/%.c tests/fuzz/target.c tests/fuzz/driver.c tests/fuzz/target.h $(LIB_OBJECTS)
	@mkdir -p $(@D)
	$(CC) $(filter-out -MMD -MP,$(FLAGS)) -Itests -o $@ $(filter %.c %.o,$^) $(LIBS)

check-corpus: $(FUZZ_TARGETS:%=$(BUILD)/fuzz/%)
	@set -e; for target in $^; do $(RUNNER) $$target tests/fuzz/corpus/*; done

check: check-unit check-corpus check-scripts

# Fuzzing takes clang, whose libFuzzer it uses.
FUZZ_SECONDS ?= 60

fuzz:
	$(MAKE) BUILD=build/clang-fuzz CC=clang CFLAGS='-O1 -g -DFUZZ_MUTATOR' \
	  SANITIZE='-fsanitize=fuzzer-no-link,address,undefined -fno-sanitize-recover=all' fuzz-run

$(BUILD)/libfuzzer/%: tests/fuzz/%.c tests/fuzz/target.c tests/fuzz/target.h $(LIB_OBJECTS)
	@mkdir -p $(@D)
	$(CC) $(filter-out -MMD -MP,$(FLAGS)) -fsanitize=fuzzer -Itests -o $@ $(filter %.c %.o,$^) $(LIBS)

$(BUILD)/libfuzzer/words: grammar/keywords.def
	@mkdir -p $(@D)
	sed -n 's/^WORD([A-Z_0-9]*, \(".*"\))$$/\1/p' $< > $@
	for word in M1 C1 7H 6T 0H 0T .. M1..M6 C2..C15 '{' '}' ';' ','; do echo "\"$$word\""; done >> $@

fuzz-run: $(FUZZ_TARGETS:%=$(BUILD)/libfuzzer/%) $(BUILD)/libfuzzer/words
	@set -e; for target in $(FUZZ_TARGETS:%=$(BUILD)/libfuzzer/%); do \
	  sh tests/fuzz/fuzz.sh $$target $(FUZZ_SECONDS) $(BUILD)/libfuzzer/words; done

asan:
	ASAN_OPTIONS=detect_leaks=1 $(MAKE) BUILD=build/asan CFLAGS='-O1 -g' \
	  SANITIZE='-fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer' \
	  check-unit check-scripts

# Valgrind reads no DWARF 5 of clang's.
valgrind:
	$(MAKE) BUILD=build/valgrind CFLAGS='-O1 -gdwarf-4' RUNNER='valgrind -q --error-exitcode=9 --leak-check=full' \
	  check-unit check-corpus all
	$(PYTHON) tests/run.py --selvage build/valgrind/selvage --valgrind golden

bench: $(BUILD)/selvage
	@mkdir -p $(BUILD)/bench/written $(BUILD)/bench/found
	$(CC) $(WARNINGS) $(CFLAGS) -o $(BUILD)/bench/floor tests/bench/floor.c
	$(CC) $(WARNINGS) $(CFLAGS) -o $(BUILD)/bench/measure tests/bench/measure.c
	$(CC) $(FLAGS) -o $(BUILD)/bench/parse tests/bench/parse.c $(BUILD)/src/cli/memory.o $(LIB_OBJECTS) $(LIBS)
	$(CC) $(FLAGS) -Itests -o $(BUILD)/bench/mechanics tests/bench/mechanics.c $(LIB_OBJECTS) $(LIBS)
	for file in patterns/*.slv; do \
	  $(BUILD)/selvage expand $$file | sed 's/  # .*//' > $(BUILD)/bench/written/$${file#patterns/}; done
	$(PYTHON) tests/bench/bulk.py 20 $(BUILD)/bench $(BUILD)/bench/written/*.slv
	$(PYTHON) tests/bench/bulk.py 0 $(BUILD)/bench/found patterns/*.slv
	$(BUILD)/bench/measure $(BUILD)/bench/floor $(BUILD)/selvage $(BUILD)/bench
	$(PYTHON) tests/bench/search.py $(BUILD)/selvage $(BUILD)/bench
	$(BUILD)/bench/mechanics

# The published schema of SARIF 2.1.0, out of a package of npm; the tests use it where it is there.
SARIF_PACKAGE = @microsoft/jest-sarif@1.0.0-beta.0
sarif-schema: build/sarif/schema.json
build/sarif/schema.json:
	@mkdir -p build/sarif
	cd build/sarif && npm pack --silent $(SARIF_PACKAGE) > name
	tar -xzOf "build/sarif/$$(cat build/sarif/name)" package/lib/schemas/sarif-2.1.0-rtm.5.json > $@.part
	mv $@.part $@

# Rules of accessibility for pages, out of a package of npm; the tests use them where they are there.
AXE_PACKAGE = axe-core@4.10.2
axe: build/axe/axe.min.js
build/axe/axe.min.js:
	@mkdir -p build/axe
	cd build/axe && npm pack --silent $(AXE_PACKAGE) > name
	tar -xzOf "build/axe/$$(cat build/axe/name)" package/axe.min.js > $@.part
	mv $@.part $@

install: $(BUILD)/selvage
	install -D -m 755 $(BUILD)/selvage $(DESTDIR)$(PREFIX)/bin/selvage
	install -D -m 644 $(BUILD)/libselvage.a $(DESTDIR)$(PREFIX)/lib/libselvage.a
	install -D -m 644 src/selvage.h $(DESTDIR)$(PREFIX)/include/selvage.h
	install -d $(DESTDIR)$(PREFIX)/share/selvage/patterns
	install -m 644 patterns/*.slv $(DESTDIR)$(PREFIX)/share/selvage/patterns

clean:
	rm -rf build

-include $(shell find $(BUILD) -name '*.d' 2>/dev/null)
