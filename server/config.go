package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/netip"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"

	"slotcast/server/store"
)

// config is what the program is told when it starts.
type config struct {
	listen    string
	database  string
	publicURL string
	// rate is how many requests a second one address may send on average.
	rate float64
	// proxies are believed what they say of those who ask.
	proxies []netip.Prefix
	// log is the level from which on lines are written.
	log slog.Level
}

// setting is one thing that can be told, as a flag or in the environment.
type setting struct {
	flag, variable string
	usage          string
	// value is the default, then what was told.
	value *string
	check func(string) error
}

// configError is a setting that cannot be read. It says which.
type configError struct {
	where string
	err   error
}

func (e *configError) Error() string { return e.where + ": " + e.err.Error() }
func (e *configError) Unwrap() error { return e.err }

// readConfig reads the flags; what they do not tell is taken from the
// environment, and then from the defaults. Asked for help it writes that to out
// and returns flag.ErrHelp.
func readConfig(args []string, getenv func(string) string, out io.Writer) (config, error) {
	c := config{
		listen:   "127.0.0.1:8080",
		database: defaultDatabase(runtime.GOOS, getenv),
	}
	rate, proxies, level := defaultRate, "", "info"
	settings := []setting{
		{"listen", "SLOTCAST_LISTEN", "the `host:port` to answer at; port 0 takes a free one", &c.listen, checkListen},
		{"database", "SLOTCAST_DATABASE", "where the data are kept: the `path` of a file, made at need, or a postgres:// address", &c.database, checkDatabase},
		{"public-url", "SLOTCAST_PUBLIC_URL", "the `address` that links and preview pictures carry (default: that of each request)", &c.publicURL, checkPublicURL},
		{"rate", "SLOTCAST_RATE", "how many `requests` a second one client may send on average, 0 for no limit", &rate, func(text string) (err error) {
			c.rate, err = readRate(text)
			return err
		}},
		{"proxy", "SLOTCAST_PROXY", "the `addresses` of the proxies in front, such as 127.0.0.1,10.0.0.0/8: only theirs X-Forwarded-For and X-Forwarded-Proto are believed (default: none are)", &proxies, func(text string) (err error) {
			c.proxies, err = readProxies(text)
			return err
		}},
		{"log", "SLOTCAST_LOG", "the `level` from which on lines are logged: error, warn, info, or debug for a line for each request too, which says nothing of who asked", &level, func(text string) error {
			if err := c.log.UnmarshalText([]byte(text)); err != nil {
				return fmt.Errorf("“%s” is no level: error, warn, info or debug", text)
			}
			return nil
		}},
	}

	flags := flag.NewFlagSet("slotcast", flag.ContinueOnError)
	// The package would print an error and the whole help; run prints the error.
	flags.SetOutput(io.Discard)
	for _, s := range settings {
		flags.StringVar(s.value, s.flag, *s.value, s.usage+"; or "+s.variable)
	}
	err := flags.Parse(args)
	switch {
	case errors.Is(err, flag.ErrHelp):
		fmt.Fprint(out, "Slotcast says what each way to fill the last slot leaves on top.\n\nUsage: go run ./server [flags]\n\nA flag wins over the variable of the environment that is named beside it.\n\n")
		flags.SetOutput(out)
		flags.PrintDefaults()
		return config{}, err
	case err != nil:
		return config{}, &configError{"flags", err}
	case flags.NArg() > 0:
		return config{}, &configError{"flags", fmt.Errorf("“%s” is no flag", flags.Arg(0))}
	}

	told := map[string]bool{}
	flags.Visit(func(f *flag.Flag) { told[f.Name] = true })
	for _, s := range settings {
		where := "-" + s.flag
		if value := getenv(s.variable); !told[s.flag] && value != "" {
			*s.value, where = value, s.variable
		}
		if err := s.check(*s.value); err != nil {
			return config{}, &configError{where, err}
		}
	}
	return c, nil
}

// defaultRate is twice what a script needs that reads a hundred times a second, and
// less than a tenth of what the program can answer.
const defaultRate = "200"

func readRate(text string) (float64, error) {
	rate, err := strconv.ParseFloat(text, 64)
	if err != nil || !(rate >= 0 && rate <= 1e6) {
		return 0, fmt.Errorf("“%s” is no number of requests a second, from 0 to 1000000", text)
	}
	return rate, nil
}

// readProxies reads addresses and networks, separated by commas.
func readProxies(text string) (proxies []netip.Prefix, err error) {
	if text == "" {
		return nil, nil
	}
	for one := range strings.SplitSeq(text, ",") {
		one = strings.TrimSpace(one)
		network, err := netip.ParsePrefix(one)
		if err != nil {
			address, err := netip.ParseAddr(one)
			if err != nil || address.Zone() != "" {
				return nil, fmt.Errorf("“%s” is no address such as 127.0.0.1 and no network such as 10.0.0.0/8", one)
			}
			network = netip.PrefixFrom(address, address.BitLen())
		}
		proxies = append(proxies, network)
	}
	return proxies, nil
}

// defaultDatabase is slotcast.db in the directory where the user's programs keep
// their data, "" where none is known.
func defaultDatabase(goos string, getenv func(string) string) string {
	const name = "slotcast.db"
	switch goos {
	case "windows", "darwin", "ios", "plan9":
		dir, err := os.UserConfigDir()
		if err != nil {
			return ""
		}
		return filepath.Join(dir, name)
	}
	// XDG Base Directory Specification 0.8: a path that is not absolute is not to
	// be used.
	if dir := getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, name)
	}
	if home := getenv("HOME"); home != "" {
		return filepath.Join(home, ".local", "share", name)
	}
	return ""
}

func checkListen(address string) error {
	_, port, err := net.SplitHostPort(address)
	if err != nil {
		return fmt.Errorf("“%s” is no host:port", address)
	}
	if n, err := strconv.Atoi(port); err != nil || n < 0 || n > 65535 {
		return fmt.Errorf("“%s” is no port; a port is a number from 0 to 65535", port)
	}
	return nil
}

func checkDatabase(address string) error {
	if address == "" {
		return errors.New("no home directory to keep slotcast.db in: say where it should be")
	}
	return store.Check(address)
}

func checkPublicURL(address string) error {
	if address == "" {
		return nil
	}
	u, err := url.Parse(address)
	if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Hostname() == "" ||
		u.User != nil || strings.ContainsAny(address, "?#") {
		return fmt.Errorf("“%s” is no address such as https://example.org", address)
	}
	return nil
}
