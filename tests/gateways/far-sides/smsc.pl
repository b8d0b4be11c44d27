#!/usr/bin/perl
# An SMSC on Perl's Net::SMPP (Debian package libnet-smpp-perl), so that what goes over the line is read and written by
# a codec that has nothing to do with this project's. Prints one JSON line for its port and for each submit. Sends a
# receipt where one was asked for, and answers a text that ends in a question mark from the phone it went to.
use strict;
use warnings;
use JSON::PP;
use Net::SMPP;

$| = 1;
$SIG{CHLD} = 'IGNORE';
$SIG{TERM} = sub { exit 0 };
my $json = JSON::PP->new->canonical;
my $server = Net::SMPP->new_listen('127.0.0.1', port => 0, smpp_version => 0x34)
  or die "cannot listen: $!";
print $json->encode({ port => $server->sockport }), "\n";

while (1) {
  my $line = $server->accept or next;
  next if fork;
  serve($line);
  exit 0;
}

sub serve {
  my ($line) = @_;
  my $serial = 0;
  while (my $pdu = $line->read_pdu) {
    my $name = Net::SMPP::pdu_tab->{ $pdu->{cmd} }{cmd} || 'unknown';
    my @seq = (seq => $pdu->{seq});
    if ($name =~ /^bind_(transceiver|transmitter)$/) {
      print $json->encode({ bind => $1, version => $pdu->{interface_version} + 0, as => $pdu->{system_id} }), "\n";
      my $answer = "${name}_resp";
      $line->$answer(@seq, system_id => 'perl');
    }
    elsif ($name eq 'submit_sm') {
      $serial += 1;
      print $json->encode({
        to => $pdu->{destination_addr}, from => $pdu->{source_addr},
        ton => $pdu->{dest_addr_ton} + 0, coding => $pdu->{data_coding} + 0, class => $pdu->{esm_class} + 0,
        validity => $pdu->{validity_period}, octets => unpack('H*', $pdu->{short_message}),
      }), "\n";
      $line->submit_sm_resp(@seq, message_id => "perl-$serial");
      receipt($line, $pdu, "perl-$serial") if $pdu->{registered_delivery};
      answer($line, $pdu) if $pdu->{short_message} =~ /\?$/;
    }
    elsif ($name eq 'enquire_link') { $line->enquire_link_resp(@seq) }
    elsif ($name eq 'unbind') { $line->unbind_resp(@seq); return }
    elsif ($name eq 'deliver_sm_resp') { print $json->encode({ answered => $pdu->{status} + 0 }), "\n" }
  }
}

sub receipt {
  my ($line, $pdu, $id) = @_;
  $line->deliver_sm(
    async => 1, esm_class => 0x04, source_addr => $pdu->{destination_addr},
    destination_addr => $pdu->{source_addr},
    receipted_message_id => "$id\0", message_state => pack('C', 2),
    short_message => "id:$id sub:001 dlvrd:001 submit date:2611250900 done date:2611250914 stat:DELIVRD err:000 text:",
  );
}

sub answer {
  my ($line, $pdu) = @_;
  $line->deliver_sm(
    async => 1, source_addr => $pdu->{destination_addr}, source_addr_ton => 1, source_addr_npi => 1,
    destination_addr => $pdu->{source_addr}, dest_addr_ton => 1, data_coding => 8,
    short_message => pack('H*', '12301230120b'),
  );
}
