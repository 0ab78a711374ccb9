package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"strings"

	"bloomtide/config"
	"bloomtide/forecast/web"
	"bloomtide/ingest/weather"

	"github.com/spf13/cobra"
)

// defaultListen is the address of the page: this machine only. The port is our
// own choice among those that nothing common uses.
const defaultListen = "127.0.0.1:8747"

// serveOptions are the options of serve that are no settings.
type serveOptions struct {
	listen string
	data   string
	hosts  []string
}

func newServe(w world) *cobra.Command {
	o := &serveOptions{}
	c := &cobra.Command{
		Use:   "serve",
		Short: "Show the plan as a page, with a map, your own record and a calendar to subscribe to",
		Long: `serve shows the plan as a local page until you stop it with Ctrl-C. There you
choose a place, change what grows and what your hive is made of, write down what
you did and saw, and subscribe to the plan with the calendar of your phone.

What you write down goes into plain files, bloom.csv and hive-notes.csv, in the
data folder, which no other part of the program changes. calibrate reads the
dates of bloom: --observations bloom.csv.

Only this machine can see the page unless --listen says otherwise; then every
address begins with a secret, so that only who has the address finds it.`,
		Example: `  bloomtide serve
  bloomtide serve --listen 0.0.0.0:8747          # for the phone, at home
  bloomtide serve --weather station.csv --lat 47.5 --place 'Willow Bend'`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error {
			s, err := w.settings(c)
			if err != nil {
				return err
			}
			return w.serve(c.Context(), s, *o)
		},
	}
	config.AddFlags(c.Flags())
	c.Flags().StringVar(&o.listen, "listen", defaultListen, "address and port of the page; 0.0.0.0:PORT for the whole house")
	c.Flags().StringVar(&o.data, "data", "", "folder of your own record (default bloomtide in the user's data folder)")
	c.Flags().StringArrayVar(&o.hosts, "host", nil, "further name by which this machine is called in an address")
	_ = c.MarkFlagDirname("data") // fails for unknown flags only
	return c
}

// serve shows the page until the context ends.
func (w world) serve(ctx context.Context, s config.Settings, o serveOptions) error {
	if o.data == "" {
		o.data = w.dataHome()
	}
	if o.data == "" {
		return &usageError{errors.New("no folder for your own record is known"), "name one with --data"}
	}
	h, err := w.openHouse(s, o.data)
	if err != nil {
		return err
	}
	l, err := new(net.ListenConfig).Listen(ctx, "tcp", o.listen)
	if err != nil {
		return &usageError{fmt.Errorf("listen on %s: %w", o.listen, err), "choose another port with --listen HOST:PORT"}
	}
	defer l.Close()
	base, err := h.base(l.Addr())
	if err != nil {
		return err
	}
	handler, err := web.New(h.options(base, hostNames(o)))
	if err != nil {
		return err
	}
	for _, address := range addresses(l.Addr()) {
		fmt.Fprintf(w.stdout, "http://%s%s/\n", address, base)
	}
	return web.Serve(ctx, l, handler, web.Limits{})
}

// hostNames are the names of this machine: those given, and its own on a local
// network.
func hostNames(o serveOptions) []string {
	var out []string
	for _, n := range o.hosts {
		out = append(out, strings.ToLower(n))
	}
	if name, err := os.Hostname(); err == nil && name != "" {
		name = strings.ToLower(name)
		out = append(out, name, name+".local")
	}
	return out
}

// addresses lists where the page can be opened: the machine itself, and each
// of its own addresses where it listens on all of them.
func addresses(a net.Addr) []string {
	tcp, ok := a.(*net.TCPAddr)
	if !ok || !tcp.IP.IsUnspecified() {
		return []string{a.String()}
	}
	port := fmt.Sprint(tcp.Port)
	out := []string{net.JoinHostPort("127.0.0.1", port)}
	all, err := net.InterfaceAddrs()
	if err != nil {
		return out
	}
	for _, one := range all {
		if n, ok := one.(*net.IPNet); ok && !n.IP.IsLoopback() && n.IP.To4() != nil {
			out = append(out, net.JoinHostPort(n.IP.String(), port))
		}
	}
	return out
}

// dataHome is the folder of the user's own record by the XDG Base Directory
// specification, which ignores a relative value.
func (w world) dataHome() string {
	if dir := w.env("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, "bloomtide")
	}
	if home := w.env("HOME"); filepath.IsAbs(home) {
		return filepath.Join(home, ".local", "share", "bloomtide")
	}
	return ""
}

// today is the day on which the page is read.
func (w world) today() weather.Date { return weather.FromTime(w.now()) }
